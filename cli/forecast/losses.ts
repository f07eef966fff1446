/** What a tray lost on each of its last days, under the lid that it wears now, and how that went over the hours. Pure. */
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { lidMarksOf } from '../explain/lids';
import { firstAt, notesOf, type Record } from '../explain/record';
import type { Stand } from '../explain/stand';
import type { Rate } from '../explain/weights';
import { fastChanges } from './lid';
import { FORECAST_LIMITS as LIMITS } from './limits';

/** One day back from now. */
export interface DayLoss {
  /** Middle of it, days before now. */
  readonly ageDays: number;
  readonly gPerDay: number;
  /** Hours of it that were seen. */
  readonly hours: number;
}

export interface Losses {
  /** The latest first; only since lid, wool or pieces were last changed. */
  readonly days: readonly DayLoss[];
  /** Since when the lid is where it is, ms on the line of time. */
  readonly sinceMs: number;
  /** Share of a day's loss in each hour of the day, 1 on average; flat while too little was seen. */
  readonly byHour: readonly number[];
}

const FLAT: readonly number[] = Array.from({ length: 24 }, () => 1);
const hourOf = (atMs: number): number => Math.floor(atMs / HOUR_MS) % 24;
const middleMs = ({ fromMs, atMs }: Rate): number => (fromMs + atMs) / 2;

/** Losses up to `nowMs`, on the line of time of `stand`. */
export function lossesOf(stand: Stand, nowMs: number): Losses {
  const rates = stand.rates.filter(({ atMs }) => atMs <= nowMs);
  const sinceMs = sameSinceMs(stand, rates, nowMs);
  const here = rates.filter(({ fromMs }) => fromMs >= sinceMs);
  const byHour = shapeOf(here.filter(({ atMs }) => atMs > nowMs - LIMITS.shapeDays * DAY_MS));
  return {
    days: Array.from({ length: LIMITS.pastDays }, (_, i) => i).flatMap((i) =>
      dayOf(here, nowMs - i * DAY_MS, i, byHour),
    ),
    sinceMs,
    byHour,
  };
}

/** The last time that pieces or wool became others, or the lid was moved: where nobody marks that, the weight tells, or the controller by it. */
function sameSinceMs({ record, aways }: Stand, rates: readonly Rate[], nowMs: number): number {
  const marks = notesOf(record, 'mark')
    .filter(({ entry }) => CHANGING.includes(entry.mark))
    .map(({ atMs }) => atMs);
  const ends = aways.filter(({ open }) => !open).map(({ toMs }) => toMs);
  const fast = fastChanges(record, nowMs).map(({ atMs }) => atMs);
  const changes = [record.fromMs, ...marks, ...ends, ...fast].filter((atMs) => atMs <= nowMs);
  return Math.max(...changes, ...markedMovesMs(record, nowMs), movedMs(rates, nowMs));
}

/** When somebody marked that the lid is in another place than before. */
function markedMovesMs({ notes, readings }: Record, nowMs: number): readonly number[] {
  const marks = lidMarksOf(notes).filter(({ atMs }) => atMs <= nowMs);
  return marks.flatMap(({ atMs, place }, i) => {
    const before = marks[i - 1]?.place ?? readings[firstAt(readings, atMs) - 1]?.lid?.place;
    return before === undefined || before === place ? [] : [atMs];
  });
}
const CHANGING: readonly string[] = ['sown', 'transplanted', 'moved'];

/**
 * When the lid was moved last: from then on the tray loses much more or less than in the same hours of the day before,
 * for some hours on end. -Infinity where nothing says so.
 */
function movedMs(rates: readonly Rate[], nowMs: number): number {
  const { movedHours, movedLn, movedGPerH, movedPastH } = LIMITS;
  const gPerH = hoursBack(rates, nowMs, movedPastH + 24);
  const signs = Array.from({ length: movedPastH }, (_, hour) => {
    const [now, before] = [gPerH[hour] ?? Number.NaN, gPerH[hour + 24] ?? Number.NaN];
    if (!(Math.abs(now - before) > movedGPerH)) return 0;
    const ln = Math.log(Math.max(now, movedGPerH / 2) / Math.max(before, movedGPerH / 2));
    return Math.abs(ln) > movedLn ? Math.sign(ln) : 0;
  });
  for (let hour = 0; hour < movedPastH; hour++) {
    const sign = signs[hour];
    if (sign === 0) continue;
    let end = hour;
    while (signs[end + 1] === sign) end++;
    if (end - hour + 1 >= movedHours) return nowMs - (end + 1) * HOUR_MS;
    hour = end;
  }
  return Number.NEGATIVE_INFINITY;
}

/** Mean rate of each hour back from now, NaN where none was seen. */
function hoursBack(rates: readonly Rate[], nowMs: number, hours: number): readonly number[] {
  const sums = Array.from({ length: hours }, () => ({ gPerH: 0, count: 0 }));
  for (const rate of rates) {
    const one = sums[Math.floor((nowMs - middleMs(rate)) / HOUR_MS)];
    if (one === undefined) continue;
    one.gPerH += rate.gPerH;
    one.count++;
  }
  return sums.map(({ gPerH, count }) => (count === 0 ? Number.NaN : gPerH / count));
}

/** Mean of the hours of a day that ends at `endMs`, each hour of the day counting as much; none where too few were seen. */
function dayOf(
  rates: readonly Rate[],
  endMs: number,
  age: number,
  byHour: readonly number[],
): readonly DayLoss[] {
  const hours = hourly(
    rates.filter((rate) => middleMs(rate) <= endMs && middleMs(rate) > endMs - DAY_MS),
  );
  const seen = hours.flatMap((gPerH, hour) =>
    Number.isNaN(gPerH) ? [] : [{ gPerH, usual: byHour[hour] ?? 1 }],
  );
  const usual = seen.reduce((sum, one) => sum + one.usual, 0);
  if (seen.length < LIMITS.dayHoursLeast || usual <= 0) return [];
  const gPerDay = (24 * seen.reduce((sum, { gPerH }) => sum + gPerH, 0)) / usual;
  const oldest = Math.min(...rates.map(middleMs));
  const fromMs = Math.max(endMs - DAY_MS, oldest);
  return [{ ageDays: age + (endMs - fromMs) / 2 / DAY_MS, gPerDay, hours: seen.length }];
}

/** Mean rate in each hour of the day; NaN where none was seen. */
function hourly(rates: readonly Rate[]): readonly number[] {
  const sums = FLAT.map(() => ({ gPerH: 0, count: 0 }));
  for (const rate of rates) {
    const one = sums[hourOf(middleMs(rate))];
    if (one === undefined) continue;
    one.gPerH += rate.gPerH;
    one.count++;
  }
  return sums.map(({ gPerH, count }) => (count === 0 ? Number.NaN : gPerH / count));
}

function shapeOf(rates: readonly Rate[]): readonly number[] {
  const hours = hourly(rates);
  const seen = hours.filter((gPerH) => !Number.isNaN(gPerH));
  const mean = seen.reduce((sum, gPerH) => sum + gPerH, 0) / seen.length;
  if (seen.length < LIMITS.shapeHoursLeast || !(mean > LIMITS.shapeLeastGPerH)) return FLAT;
  const shares = hours.map((gPerH) => (Number.isNaN(gPerH) ? 1 : Math.max(0, gPerH / mean)));
  const sum = shares.reduce((a, b) => a + b, 0);
  return shares.map((share) => (24 * share) / sum);
}
