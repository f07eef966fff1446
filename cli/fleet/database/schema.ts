/**
 * The tables of a fleet, as numbered steps that are never changed once they have gone out; `README.md` argues them. The
 * group roles `trayward_collector` and `trayward_reader` are there before.
 */

import { FUNCTIONS } from './functions';
import { TABLES } from './tables';

/** Group roles that rights are given to; logins are members of them. */
export const COLLECTOR_ROLE = 'trayward_collector';
export const READER_ROLE = 'trayward_reader';

/** Columns of `fleet.entries`, in the order in which entries are copied. */
export const ENTRY_COLUMNS = [
  'sequence',
  'uptime_ms',
  'controller',
  'boot',
  'filed_on',
  'root_zone_c',
  'mat_c',
  'tray_g',
  'dry_back_share',
  'mat_duty_share',
  'life',
  'kind',
  'outputs',
  'stage',
  'packed',
  'says',
] as const;

const RIGHTS = `
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA fleet FROM PUBLIC;
GRANT USAGE ON SCHEMA fleet TO ${COLLECTOR_ROLE}, ${READER_ROLE};
GRANT SELECT ON fleet.schema_version TO ${COLLECTOR_ROLE}, ${READER_ROLE};
GRANT INSERT ON fleet.entries, fleet.clocks, fleet.alarms, fleet.profiles TO ${COLLECTOR_ROLE};
GRANT EXECUTE ON FUNCTION fleet.place, fleet.note, fleet.note_latest, fleet.note_ends,
  fleet.due_asks TO ${COLLECTOR_ROLE};
GRANT SELECT ON fleet.controllers, fleet.lives, fleet.blocks, fleet.entries, fleet.clocks, fleet.alarms,
  fleet.latest, fleet.profiles TO ${READER_ROLE};
`;

const VIEWS = `
-- The last clock of a boot dates all of it, as \`trayward\` does within the minutes that a clock drifts.
CREATE FUNCTION fleet.time_of(p_controller int, p_life smallint, p_boot int, p_uptime_ms bigint)
RETURNS timestamptz LANGUAGE sql STABLE AS $$
  SELECT to_timestamp((c.unix_ms + p_uptime_ms - c.uptime_ms) / 1000)
  FROM fleet.clocks c
  WHERE c.controller = p_controller AND c.life = p_life AND c.boot = p_boot
  ORDER BY c.sequence DESC LIMIT 1
$$;

CREATE VIEW fleet.readings AS
  SELECT c.board, c.tray, e.life, e.sequence, fleet.time_of(e.controller, e.life, e.boot, e.uptime_ms) AS at,
    e.root_zone_c, e.mat_c, e.tray_g, e.dry_back_share, e.mat_duty_share, e.outputs, e.stage, e.filed_on
  FROM fleet.entries e JOIN fleet.controllers c ON c.id = e.controller
  WHERE e.kind = 3;

-- The last change of each alarm of each tray, in the newest life of its journal.
CREATE VIEW fleet.alarms_now AS
  SELECT DISTINCT ON (a.controller, a.alarm) c.board, c.tray, c.keeper, a.life, a.sequence, a.alarm, a.change,
    a.value, fleet.time_of(a.controller, a.life, a.boot, a.uptime_ms) AS at, a.received_at
  FROM fleet.alarms a JOIN fleet.controllers c ON c.id = a.controller
  WHERE a.life = (SELECT max(l.life) FROM fleet.lives l WHERE l.controller = a.controller)
  ORDER BY a.controller, a.alarm, a.sequence DESC;

REVOKE ALL ON FUNCTION fleet.time_of FROM PUBLIC;
GRANT EXECUTE ON FUNCTION fleet.time_of TO ${READER_ROLE};
GRANT SELECT ON fleet.readings, fleet.alarms_now TO ${READER_ROLE};
`;

/** Each step from a version to the next. */
export const MIGRATIONS: readonly string[] = [`${TABLES}${FUNCTIONS}${RIGHTS}`, VIEWS];

/** The version that this program works with. */
export const SCHEMA_VERSION = MIGRATIONS.length;
