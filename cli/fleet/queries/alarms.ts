/** What stands at the trays of a fleet, asked of its database as a reader. */
import type { Client } from 'pg';
import * as z from 'zod';
import { ALARM_CHANGES, ALARM_NAMES, type AlarmName } from '../../../shared/alarms/catalogue';
import { ALARM_PRIORITIES, ALARM_PRIORITY, rankOf } from '../../../shared/alarms/priority';

const text = z.string();
const orNull = z.number().nullable();

/** As programs get it. */
export const fleetAlarms = z.object({
  nowUnixMs: z.number(),
  alarms: z
    .array(
      z.object({
        tray: text,
        boardId: text,
        keeper: text,
        alarm: z.enum(ALARM_NAMES),
        priority: z.enum(ALARM_PRIORITIES),
        change: z.enum(ALARM_CHANGES).describe('the last one'),
        sinceUnixMs: orNull.describe('raised, by the clock of the tray; null where none was set'),
        value: orNull.describe('that decided'),
      }),
    )
    .describe('the most urgent first'),
  more: z.number().describe('that stand as well, and were not asked for'),
});

export type FleetAlarms = z.infer<typeof fleetAlarms>;

/** Last changes of an alarm that stands: it does until it is over or mended. */
export const STANDING_CHANGES = `('raised', 'accepted', 'shelved', 'unshelved')`;

const STANDING = `
  SELECT n.board, n.tray, n.keeper, n.alarm, n.change, n.value,
    (SELECT extract(epoch FROM fleet.time_of(r.controller, r.life, r.boot, r.uptime_ms)) * 1000
      FROM fleet.alarms r JOIN fleet.controllers c ON c.id = r.controller
      WHERE c.board = n.board AND r.alarm = n.alarm AND r.life = n.life AND r.sequence <= n.sequence
        AND r.change = 'raised'
      ORDER BY r.sequence DESC LIMIT 1)::float8 AS since_ms
  FROM fleet.alarms_now n
  WHERE n.change IN ${STANDING_CHANGES}
    AND ($1::text IS NULL OR n.board = $1)`;

const isAlarm = (word: string): word is AlarmName => ALARM_NAMES.some((one) => one === word);

/** Those that stand, `most` at most; of one controller where it is named. */
export async function fleetAlarmsOf(
  client: Client,
  asked: { readonly boardId: string | null; readonly most: number; readonly nowMs: number },
): Promise<FleetAlarms> {
  const { rows } = await client.query(STANDING, [asked.boardId]);
  const alarms = rows.flatMap((row) => {
    const { alarm, tray, board, keeper, change } = row;
    // One that a newer firmware has is known to a newer program.
    if (!isAlarm(alarm)) return [];
    const priority = ALARM_PRIORITY[alarm];
    const since = { sinceUnixMs: row.since_ms === null ? null : Number(row.since_ms) };
    const value = row.value === null ? null : Number(row.value);
    return [{ tray, boardId: board, keeper, alarm, priority, change, ...since, value }];
  });
  alarms.sort(
    (a, b) =>
      rankOf(a.priority) - rankOf(b.priority) || (a.sinceUnixMs ?? 0) - (b.sinceUnixMs ?? 0),
  );
  return {
    nowUnixMs: asked.nowMs,
    alarms: alarms.slice(0, asked.most),
    more: Math.max(0, alarms.length - asked.most),
  };
}
