/** How fast the tray lost weight, hour by hour, wherever nothing but drying moved it; and when it was off the scale. Pure. */
import type { Mark } from '../../shared/profile/profile';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { DOSED_BY_HAND } from './doses';
import { DRYING_EVIDENCE as LIMITS, PRESENCE_EVIDENCE } from './limits';
import { type NoteOf, notesOf, type Reading, type Record } from './record';

/** Loss over about an hour. */
export interface Rate {
  readonly fromMs: number;
  readonly atMs: number;
  readonly gPerH: number;
  readonly first: Reading;
  readonly last: Reading;
}

/** A time without the tray on the scale. */
export interface Away {
  readonly fromMs: number;
  readonly toMs: number;
  readonly open: boolean;
  /** A mark tells where it was: soaked in a tub, or planted into other wool. */
  readonly marked: boolean;
  readonly notes: readonly NoteOf<'handling'>[];
}

/** A dose is told when it has soaked in and been weighed: it began so long before at the most. */
const DOSE_BEFORE_MS = 25 * MINUTE_MS;
/** Trembling more than this, a weight is no weight, g. */
const STEADY_G = 3;

interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Times in which something else moved the weight, and for a while after. */
function disturbances(record: Record, aways: readonly Away[]): readonly Stretch[] {
  const { settleMs, drainMs } = LIMITS;
  const doses = notesOf(record, 'dose').map(({ atMs, entry }) => ({
    fromMs: atMs - (DOSED_BY_HAND.includes(entry.reason) ? entry.ranMs : DOSE_BEFORE_MS),
    toMs: atMs + settleMs,
  }));
  const hands = notesOf(record, 'handling').map(({ atMs }) => ({
    fromMs: atMs - 3 * MINUTE_MS,
    toMs: atMs + settleMs / 2,
  }));
  const marks = notesOf(record, 'mark')
    .filter(({ entry }) => entry.mark === 'soaked' || entry.mark === 'dry')
    .map(({ atMs }) => ({ fromMs: atMs - settleMs, toMs: atMs + drainMs }));
  const starts = record.boots.map(({ fromMs }) => ({ fromMs, toMs: fromMs + MINUTE_MS }));
  return [...doses, ...hands, ...marks, ...starts, ...aways].sort((a, b) => a.fromMs - b.fromMs);
}

/** Every rate that the record gives, one for each reading that ends an undisturbed span. */
export function ratesOf(record: Record, aways: readonly Away[]): readonly Rate[] {
  const disturbed = disturbances(record, aways);
  const steady = record.readings.filter(
    ({ note, trayG, spreadG }) =>
      note.dated.entry.kind === 'reading' && Number.isFinite(trayG) && !(spreadG > STEADY_G),
  );
  const rates: Rate[] = [];
  let begin = 0;
  let next = 0;
  let blockedMs = Number.NEGATIVE_INFINITY;
  steady.forEach((last, i) => {
    for (
      let one = disturbed[next];
      one !== undefined && one.fromMs <= last.atMs;
      one = disturbed[++next]
    )
      blockedMs = Math.max(blockedMs, one.toMs);
    if (last.atMs < blockedMs) {
      begin = i + 1;
      return;
    }
    while (
      begin < i &&
      (steady[begin]?.atMs ?? 0) < Math.max(blockedMs, last.atMs - LIMITS.spanMs - 6 * MINUTE_MS)
    )
      begin++;
    const first = steady[begin];
    if (first === undefined || last.atMs - first.atMs < LIMITS.leastMs) return;
    const hours = (last.atMs - first.atMs) / HOUR_MS;
    rates.push({
      fromMs: first.atMs,
      atMs: last.atMs,
      gPerH: (first.trayG - last.trayG) / hours,
      first,
      last,
    });
  });
  return rates;
}

const AWAY_MARKS: readonly Mark[] = ['soaked', 'transplanted', 'moved', 'dry'];

/** Times in which the tray stood somewhere else. `dryG`: the tray with dry wool, as the journal last told it. */
export function awaysOf(record: Record): readonly Away[] {
  const capacities = notesOf(record, 'capacity');
  const hands = notesOf(record, 'handling');
  const sown = notesOf(record, 'mark').find(({ entry }) => entry.mark === 'sown');
  const aways: { fromMs: number; toMs: number; open: boolean }[] = [];
  let dryG = Number.NaN;
  let next = 0;
  let away = false;
  for (const { atMs, trayG } of record.readings) {
    while ((capacities[next]?.atMs ?? Number.POSITIVE_INFINITY) <= atMs)
      dryG = capacities[next++]?.entry.dryG ?? dryG;
    if (!Number.isFinite(trayG) || atMs < (sown?.atMs ?? 0)) continue;
    const isAway = trayG < PRESENCE_EVIDENCE.absentShare * dryG;
    const last = aways.at(-1);
    if (isAway && !away) aways.push({ fromMs: handBefore(hands, atMs), toMs: atMs, open: true });
    if (last !== undefined && away) {
      last.toMs = isAway ? atMs : handAfter(hands, last.toMs, atMs);
      last.open = isAway;
    }
    away = isAway;
  }
  const marks = notesOf(record, 'mark').filter(({ entry }) => AWAY_MARKS.includes(entry.mark));
  return aways.map((one) => ({
    ...one,
    marked: marks.some(
      ({ atMs }) => atMs >= one.fromMs && atMs <= one.toMs + PRESENCE_EVIDENCE.markMs,
    ),
    notes: hands.filter(
      ({ atMs }) => atMs >= one.fromMs - MINUTE_MS && atMs <= one.toMs + 3 * MINUTE_MS,
    ),
  }));
}

/** The hand that took it, some minutes before the reading that misses it; and the one that put it back. */
function handBefore(hands: readonly NoteOf<'handling'>[], atMs: number): number {
  const near = hands.filter(
    (hand) => hand.atMs <= atMs && !hand.entry.over && atMs - hand.atMs <= 10 * MINUTE_MS,
  );
  return near.at(-1)?.atMs ?? atMs;
}
const handAfter = (hands: readonly NoteOf<'handling'>[], fromMs: number, atMs: number): number =>
  hands.find((hand) => hand.atMs > fromMs && hand.atMs <= atMs)?.atMs ?? atMs;
