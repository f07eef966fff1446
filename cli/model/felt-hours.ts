/** What surrounds a tray by the hour of its day, as it feels it. Pure. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { HOUR_MS } from '../../shared/units/time';
import { between, minuteOf, type Record } from '../explain/record';
import { type Figure, figureOf } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';
import type { FittedStretch } from './stretches';

const DAY_H = 24;

/** One hour of the day by the tray's own clock, 0 to 23, and the mean of it over the days that tell of it, C. */
export interface FeltHour {
  readonly hour: number;
  readonly aroundC: Figure;
}

export interface FeltDay {
  /** In order; those that no stretch covers are left out. */
  readonly hours: readonly FeltHour[];
  readonly coldest: FeltHour;
  readonly warmest: FeltHour;
}

/** By these stretches, which are under one lid. Declines where no clock says what hour it was. */
export function feltDayOf(record: Record, stretches: readonly FittedStretch[]): Verdict<FeltDay> {
  const told = stretches.flatMap((stretch) => hoursOf(record, stretch));
  const hours = Array.from({ length: DAY_H }, (_, hour) =>
    together(
      hour,
      told.filter((one) => one.hour === hour),
    ),
  ).flatMap((one) => one ?? []);
  const byWarmth = [...hours].sort((a, b) => a.aroundC.value - b.aroundC.value);
  const [coldest] = byWarmth;
  const warmest = byWarmth.at(-1);
  if (coldest === undefined || warmest === undefined)
    return decline('The clock was never set while it was fitted: hours of the day are not told.');
  return accept({ hours, coldest, warmest });
}

interface ToldHour {
  readonly hour: number;
  readonly value: number;
  readonly sd: number;
  readonly readings: number;
}

/** Hours that a stretch covers for the most part. */
function hoursOf(record: Record, { fromMs, toMs, fit }: FittedStretch): readonly ToldHour[] {
  const atH = new Map<number, number[]>();
  const profile = record.profileAt(fromMs);
  for (const { atMs, note } of between(record.readings, fromMs, toMs)) {
    const minute = minuteOf(note, profile);
    if (minute === null || note.dated.entry.kind !== 'reading') continue;
    const hour = Math.floor(minute / 60);
    atH.set(hour, [...(atH.get(hour) ?? []), (atMs - fromMs) / HOUR_MS]);
  }
  return [...atH]
    .filter(([, times]) => times.length >= LIMITS.readingsAnHour * LIMITS.hourShare)
    .map(([hour, times]) => ({ hour, ...fit.aroundC(times), readings: times.length }));
}

/** Each day counts for as much as it was read. */
function together(hour: number, told: readonly ToldHour[]): FeltHour | null {
  const readings = told.reduce((sum, one) => sum + one.readings, 0);
  if (readings === 0) return null;
  const value = told.reduce((sum, one) => sum + one.value * one.readings, 0) / readings;
  const sd = Math.hypot(...told.map((one) => (one.sd * one.readings) / readings));
  return { hour, aroundC: figureOf(value, Math.hypot(sd, LIMITS.probeK)) };
}
