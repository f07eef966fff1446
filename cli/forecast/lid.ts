/** What is known of a tray's drying by its lid alone: before the scale has told, and while a lid may just have been moved. Pure. */
import { BARE_LOSS_G_PER_H } from '../../firmware/bench/plant/lid';
import type { AlarmChange } from '../../shared/alarms/catalogue';
import type { LidPlace } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import { lidMarksOf } from '../explain/lids';
import { between, notesOf, type Record } from '../explain/record';
import { FORECAST_LIMITS as LIMITS } from './limits';
import type { Losses } from './losses';
import type { Prior } from './uptake';

/** Lamps burn for so long, and the lid is off meanwhile (common practice). */
const LIT_SHARE = 16 / 24;
/** Water of the tray that the bench's table is of, g: 98 plugs of 47 ml. */
const TABLE_WATER_G = 3_700;

/** Loss of bare wool under a lid, g/d, by the bench's table. */
function bareGPerDay(lid: LidPlace): number {
  const { off, loose } = BARE_LOSS_G_PER_H;
  if (lid !== 'off-by-day') return 24 * BARE_LOSS_G_PER_H[lid].usual;
  return 24 * (LIT_SHARE * off.usual + (1 - LIT_SHARE) * loose.usual);
}

/** When the controller found the tray to dry too fast for its lid, or no longer to, up to `nowMs`. */
export const fastChanges = (record: Record, nowMs: number) =>
  notesOf(record, 'alarm').filter(
    ({ atMs, entry }) =>
      atMs <= nowMs && entry.alarm === 'drying-fast' && FAST_CHANGES.includes(entry.change),
  );
const FAST_CHANGES: readonly AlarmChange[] = ['raised', 'returned', 'cleared'];

/** Where the lid is at `nowMs`: off where the tray dries too fast for any other, else as somebody marked it, else as the stage wants it. */
export function lidAt(record: Record, wanted: LidPlace, nowMs: number): LidPlace {
  const fast = fastChanges(record, nowMs).at(-1);
  const isMarked = lidMarksOf(record.notes).some(({ atMs }) => atMs > (fast?.atMs ?? nowMs));
  if (fast?.entry.change === 'raised' && !isMarked) return 'off';
  const mark = lidMarksOf(record.notes)
    .filter(({ atMs }) => atMs <= nowMs)
    .at(-1);
  const reading = record.readings.filter(({ atMs }) => atMs <= nowMs).at(-1);
  // A mark may be too new for any reading to have it.
  if (mark !== undefined && mark.atMs >= (reading?.atMs ?? Number.NEGATIVE_INFINITY))
    return mark.place;
  return reading?.lid?.marked === true ? reading.lid.place : wanted;
}

/** Before anything was weighed, for a tray that holds `waterG`. */
export const priorFor = (lid: LidPlace, waterG: number): Prior => ({
  gPerDay: (bareGPerDay(lid) * waterG) / TABLE_WATER_G,
  sdLn: LIMITS.unknownLn,
});

/**
 * How much faster the tray dries, ln, if its lid was put where the stage wants it: told where the stage has changed
 * since the weight last told of a lid, and hands were there too shortly ago for the weight to tell. Else, and where
 * somebody has marked the lid since, 0.
 */
export function lidDoubtLn(record: Record, { sinceMs }: Losses, nowMs: number): number {
  const last = record.readings.filter(({ atMs }) => atMs <= nowMs).at(-1);
  const wanted = last?.stage?.lid;
  const had = between(record.readings, sinceMs, nowMs)[0]?.stage?.lid;
  if (wanted === undefined || had === undefined || wanted === had) return 0;
  const begun =
    notesOf(record, 'stage')
      .filter(({ atMs }) => atMs <= nowMs)
      .at(-1)?.atMs ?? 0;
  const isMarked = lidMarksOf(record.notes).some(({ atMs }) => atMs >= begun && atMs <= nowMs);
  if (isMarked) return 0;
  const fromMs = Math.max(begun, nowMs - LIMITS.handsH * HOUR_MS);
  const hands = between(record.notes, fromMs, nowMs).some(({ dated }) =>
    BY_HAND.includes(dated.entry.kind),
  );
  return hands ? Math.max(0, Math.log(bareGPerDay(wanted) / bareGPerDay(had))) : 0;
}
const BY_HAND: readonly string[] = ['handling', 'mark', 'refill', 'clock', 'count', 'note'];
