/** A series of counts, judged: how many, how fast, how even; against another lot and against the crop's table. Pure. */
import type { Crop, Range } from '../../shared/crops/library/crop';
import { emergence } from '../../shared/crops/library/emergence';
import { accept, type Verdict } from '../../shared/physics/verdict';
import { fisherChance } from '../../shared/statistics/fisher';
import {
  dayOfShare,
  type EmergencePace,
  emergencePace,
  type NewlyUp,
  newlyUp,
} from '../../shared/statistics/germination';
import { twoTestsTolerance } from '../../shared/statistics/tolerances';
import { wilsonInterval } from '../../shared/statistics/wilson';
import { daysKnown, stepOfDays } from '../digits/known';
import type { Series } from './series';

/** So many came up, of so many sown. */
export interface Lot {
  readonly emerged: number;
  readonly of: number;
}

/** The tolerances of seed tests are for this many seeds. */
const TOLERANCE_SEEDS = 400;

/** Figures of the pace; null where so few seedlings cannot tell. */
type Pace = { readonly [Name in keyof EmergencePace]: number | null };

const numberOrNull = (value: number | null): number | null =>
  value === null || Number.isNaN(value) ? null : value;

/**
 * Time between a count and the one before it, over all that were found new; nobody knows when what the first count found
 * came up, so it does not enter.
 */
function apartDaysOf(rows: readonly NewlyUp[]): number {
  let found = 0;
  let apart = 0;
  for (const [i, { day, count }] of rows.entries()) {
    const before = rows[i - 1];
    if (before === undefined) continue;
    found += count;
    apart += count * (day - before.day);
  }
  return found === 0 ? 0 : apart / found;
}

function paceOf(rows: readonly NewlyUp[]): Pace | null {
  const pace = emergencePace(rows);
  if (pace === null) return null;
  const apartDays = apartDaysOf(rows);
  const step = stepOfDays(apartDays);
  const known = (days: number | null): number | null =>
    days === null || Number.isNaN(days) ? null : daysKnown(apartDays)(days);
  const seDays = known(pace.seDays);
  return {
    t50FarooqDay: known(pace.t50FarooqDay),
    t50CoolbearDay: known(pace.t50CoolbearDay),
    meanDays: known(pace.meanDays),
    sdDays: known(pace.sdDays),
    // No doubt is less than what the counts leave.
    seDays: seDays === null ? null : Math.max(step, seDays),
    meanRatePerDay: pace.meanRatePerDay,
    velocityPercentPerDay: pace.velocityPercentPerDay,
    speedPerDay: pace.speedPerDay,
    cvTimePercent: numberOrNull(pace.cvTimePercent),
    synchrony: numberOrNull(pace.synchrony),
    uncertaintyBit: pace.uncertaintyBit,
    uniformityPerDay2: numberOrNull(pace.uniformityPerDay2),
  };
}

/** What the counts alone tell. */
export function judgedSeries({ of, counts }: Series) {
  const emerged = Math.max(0, ...counts.map(({ standing }) => standing));
  const { low, high } = wilsonInterval(emerged, of);
  return {
    of,
    counts,
    emerged,
    standing: counts.at(-1)?.standing ?? 0,
    share: emerged / of,
    lowShare: low,
    highShare: high,
    apartDays: apartDaysOf(newlyUp(counts)),
    pace: paceOf(newlyUp(counts)),
  };
}

/** One lot against another: how likely chance alone sets them so far apart, and whether seed tests tolerate it. */
export function comparedLots(one: Lot, other: Lot) {
  const [a, b] = [100 * (one.emerged / one.of), 100 * (other.emerged / other.of)];
  const isFullTest = one.of === TOLERANCE_SEEDS && other.of === TOLERANCE_SEEDS;
  return {
    ...other,
    chance: fisherChance(
      { found: one.emerged, of: one.of },
      { found: other.emerged, of: other.of },
    ),
    points: Math.abs(a - b),
    tolerancePoints: isFullTest ? twoTestsTolerance((a + b) / 2) : null,
  };
}

/**
 * How emergence stands against the table: `waiting` while half may still come up in time, `unsure` where half stood at
 * some time between two counts, of which the one is in time and the other is not.
 */
export const PACINGS = ['early', 'in-time', 'late', 'waiting', 'unsure'] as const;
export type Pacing = (typeof PACINGS)[number];

/** When half of those sown stood: after one count, and by the next. */
interface HalfUp {
  /** 0, the sowing, where half stood at the first count. */
  readonly afterDay: number;
  readonly byDay: number;
  /** In between, by a straight line. */
  readonly day: number;
}

/** Null while half has not been seen. */
function halfUpOf({ of, counts }: Series): HalfUp | null {
  const place = counts.findIndex(({ standing }) => standing >= of / 2);
  const by = counts[place];
  if (by === undefined) return null;
  return {
    afterDay: counts[place - 1]?.day ?? 0,
    byDay: by.day,
    day: dayOfShare(newlyUp(counts), of, 0.5) ?? by.day,
  };
}

function pacing({ counts }: Series, half: HalfUp | null, { low, high }: Range): Pacing {
  if (half === null) return (counts.at(-1)?.day ?? 0) > high ? 'late' : 'waiting';
  if (half.byDay < low) return 'early';
  if (half.byDay <= high) return 'in-time';
  return half.afterDay >= high ? 'late' : 'unsure';
}

/** What the crop library says, and how the series stands against it. */
export interface TableJudgement {
  readonly crop: string;
  readonly atC: number;
  /** Days until half of the seed is up, over all sources. */
  readonly lowDays: number;
  readonly highDays: number;
  readonly sources: readonly string[];
  /** Share of good seed that comes up then; null where nobody recorded it. */
  readonly normalShare: number | null;
  readonly halfUpDay: number | null;
  /** Day of the count before that, 0 where there is none; half may have stood any time since. */
  readonly halfUpAfterDay: number | null;
  readonly pacing: Pacing;
}

/** The series against the crop's table, for a root zone held at `atC`. Refuses as the library does. */
export function againstTable(series: Series, crop: Crop, atC: number): Verdict<TableJudgement> {
  const forecast = emergence(crop, atC);
  if (!forecast.ok) return forecast;
  const { days, estimates, normal } = forecast.value;
  const half = halfUpOf(series);
  return accept({
    crop: crop.name,
    atC,
    lowDays: days.low,
    highDays: days.high,
    sources: [...new Set(estimates.map(({ source }) => source))],
    normalShare: normal?.share ?? null,
    halfUpDay: half?.day ?? null,
    halfUpAfterDay: half?.afterDay ?? null,
    pacing: pacing(series, half, days),
  });
}

export type JudgedSeries = ReturnType<typeof judgedSeries> & {
  readonly against: ReturnType<typeof comparedLots> | null;
  /** `by`: who told crop and temperature, the tray's journal or the grower. */
  readonly table: (TableJudgement & { readonly by: 'told' | 'journal' }) | null;
};
