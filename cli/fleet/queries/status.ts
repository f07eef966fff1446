/** How a fleet stands, asked of its database as a reader. */
import type { Client } from 'pg';
import * as z from 'zod';
import { SILENT_MS } from '../limits';
import { STANDING_CHANGES } from './alarms';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

/** As programs get it. */
export const fleetStatus = z.object({
  nowUnixMs: number,
  trays: number,
  silent: number.describe('nothing has come of them for a quarter of an hour'),
  withAlarms: number,
  gaps: z.object({
    trays: number.describe('of which entries are missing that a keeper has sent'),
    entries: number,
    sinceUnixMs: orNull,
  }),
  worst: z
    .array(
      z.object({
        tray: text,
        boardId: text,
        keeper: text,
        heardUnixMs: orNull.describe('when its last reading came; null: none has'),
        rootZoneC: orNull,
        trayG: orNull,
        standing: number.describe('alarms'),
        missing: number.describe('entries'),
      }),
    )
    .describe('those to look at first, as many as asked for'),
});

export type FleetStatus = z.infer<typeof fleetStatus>;

const TRAYS = `
  SELECT c.id, c.board, c.tray, c.keeper, l.root_zone_c, l.tray_g,
    extract(epoch FROM l.heard_at) * 1000 AS heard_ms,
    coalesce(a.standing, 0)::int AS standing, coalesce(g.missing, 0)::bigint AS missing
  FROM fleet.controllers c
  LEFT JOIN fleet.latest l ON l.controller = c.id
  LEFT JOIN (
    SELECT board, count(*) AS standing FROM fleet.alarms_now WHERE change IN ${STANDING_CHANGES} GROUP BY board
  ) a ON a.board = c.board
  LEFT JOIN (
    SELECT v.controller, sum(upper(hole) - lower(hole)) AS missing
    FROM fleet.lives v, unnest(int8multirange(int8range(v.begins, v.goes_to + 1)) - v.covered) AS hole
    WHERE v.gap_since IS NOT NULL GROUP BY v.controller
  ) g ON g.controller = c.id`;

const OF_TRAYS = `WITH trays AS (${TRAYS})`;

const SUMMARY = `
  SELECT count(*)::int AS trays,
    (count(*) FILTER (WHERE coalesce(heard_ms, 0) < $1))::int AS silent,
    (count(*) FILTER (WHERE standing > 0))::int AS with_alarms,
    (count(*) FILTER (WHERE missing > 0))::int AS gap_trays,
    coalesce(sum(missing), 0)::float8 AS gap_entries,
    (SELECT extract(epoch FROM min(gap_since)) * 1000 FROM fleet.lives)::float8 AS gap_since_ms
  FROM trays`;

const WORST = `SELECT * FROM trays
  WHERE standing > 0 OR missing > 0 OR coalesce(heard_ms, 0) < $1
  ORDER BY standing DESC, heard_ms NULLS FIRST, tray LIMIT $2`;

const orNullOf = (value: unknown): number | null => (value === null ? null : Number(value));

/** The trays that are to be looked at, `most` at most, and how many there are. */
export async function fleetStatusOf(
  client: Client,
  most: number,
  nowMs: number,
): Promise<FleetStatus> {
  const silentMs = nowMs - SILENT_MS;
  const { rows } = await client.query(`${OF_TRAYS} ${SUMMARY}`, [silentMs]);
  const worst = await client.query(`${OF_TRAYS} ${WORST}`, [silentMs, most]);
  const [row] = rows;
  return {
    nowUnixMs: nowMs,
    trays: row.trays,
    silent: row.silent,
    withAlarms: row.with_alarms,
    gaps: {
      trays: row.gap_trays,
      entries: row.gap_entries,
      sinceUnixMs: orNullOf(row.gap_since_ms),
    },
    worst: worst.rows.map((one) => ({
      ...{ tray: one.tray, boardId: one.board, keeper: one.keeper },
      heardUnixMs: orNullOf(one.heard_ms),
      rootZoneC: orNullOf(one.root_zone_c),
      trayG: orNullOf(one.tray_g),
      standing: one.standing,
      missing: Number(one.missing),
    })),
  };
}
