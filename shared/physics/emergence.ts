/**
 * When seed sown 1/2 in deep comes up at a given soil temperature, and how much of it: by the trials
 * of Harrington and Minges (Univ. of California 1954, as tabled in Knott's Handbook). Days and
 * per cent are kept apart on purpose: lettuce at 30 C is as quick as at 20 C, but only 12 % come up.
 */
import { accept, decline, type Verdict } from './verdict';

/** What a trial at one temperature gave. `null` was not tested or not recorded, which is not 0. */
export interface Trial {
  /** Days to emergence; `never` where none came up. */
  readonly days: number | 'never' | null;
  readonly normalPercent: number | null;
}

/** Columns of the trials, degrees Celsius. */
const COLUMNS_C = [0, 5, 10, 15, 20, 25, 30, 35, 40] as const;
const COLUMN_STEP_C = 5;
/** None came up. */
export const NG = 'never' as const;

export const TRIALS = {
  tomato: trials([NG, NG, 43, 14, 8, 6, 6, 9, NG], [0, 0, 82, 98, 98, 97, 83, 46, 0]),
  pepper: trials([NG, NG, NG, 25, 13, 8, 8, 9, NG], [0, 0, 1, 70, 96, 98, 95, 70, 0]),
  cucumber: trials([NG, NG, NG, 13, 6, 4, 3, 3, null], [0, 0, 0, 95, 99, 99, 99, 99, 49]),
  eggplant: trials([null, null, null, null, 13, 8, 5, null, null], [0, 0, 0, 0, 21, 53, 60, 0, 0]),
  lettuce: trials([49, 15, 7, 4, 3, 2, 3, NG, NG], [98, 98, 98, 99, 99, 99, 12, 0, 0]),
  // 20 and 30 C: some copies print 0 %, though seed emerged. The share was not recorded.
  cabbage: trials([null, null, 15, 9, 6, 5, 4, null, null], [0, 27, 78, 93, null, 99, null, 0, 0]),
  onion: trials([136, 31, 13, 7, 5, 4, 4, 13, NG], [90, 98, 98, 98, 99, 97, 91, 73, 2]),
} as const satisfies Record<string, readonly Trial[]>;

export type EmergenceCrop = keyof typeof TRIALS;
export const EMERGENCE_CROPS = Object.keys(TRIALS) as readonly EmergenceCrop[];

/** A stretch of steady temperature. */
export interface Spell {
  readonly hours: number;
  readonly soilC: number;
}

/**
 * Days from sowing to emergence at a steady `soilC`. Between the trials' temperatures the *rate*
 * (1/days) is interpolated, not the days. Refuses where seed will not come up, or nobody tried.
 */
export function daysToEmergence(crop: EmergenceCrop, soilC: number): Verdict<number> {
  const rate = emergenceRate(crop, soilC);
  return rate.ok ? accept(1 / rate.value) : rate;
}

/**
 * Days to emergence under a pattern of spells that repeats, such as day and night. A spell too cold
 * or too hot for emergence brings nothing on; refuses when no spell does.
 */
export function daysToEmergenceVarying(
  crop: EmergenceCrop,
  pattern: readonly Spell[],
): Verdict<number> {
  let doneShare = 0;
  let hours = 0;
  let why = 'The pattern of temperatures is empty.';
  for (const spell of pattern) {
    const rate = emergenceRate(crop, spell.soilC);
    hours += spell.hours;
    if (rate.ok) doneShare += rate.value * (spell.hours / 24);
    else why = rate.why;
  }
  return doneShare > 0 ? accept(hours / 24 / doneShare) : decline(why);
}

/**
 * Share 0..1 of the seed that gives normal seedlings at a steady `soilC`, by straight interpolation
 * between the trials; null where it was not recorded.
 */
export function normalSeedlingShare(crop: EmergenceCrop, soilC: number): number | null {
  const between = neighbours(crop, soilC);
  if (between === null) return null;
  const { cold, warm, part } = between;
  const [low, high] = [cold.normalPercent, warm.normalPercent];
  if (part === 0) return low === null ? null : low / 100;
  return low === null || high === null ? null : (low + (high - low) * part) / 100;
}

/** Progress per day, 1 at emergence. */
function emergenceRate(crop: EmergenceCrop, soilC: number): Verdict<number> {
  const between = neighbours(crop, soilC);
  const untried = decline(`How long ${crop} seed takes at ${soilC} C is not in the trials.`);
  if (between === null) return untried;
  const { cold, warm, part } = between;
  // Exactly on a trial's temperature its neighbour does not count.
  const sides = part === 0 ? [cold] : [cold, warm];
  if (sides.some((side) => side.days === NG)) {
    return decline(`At ${soilC} C ${crop} seed will not come up reliably, or not at all.`);
  }
  const [low, high] = [rateOf(cold), rateOf(warm)];
  if (low === null || (part > 0 && high === null)) return untried;
  return accept(low + ((high ?? low) - low) * part);
}

/**
 * Progress per day towards emergence at a steady `soilC`, 1 at emergence, for a model that cannot
 * refuse: 0 where none came up. Where days are missing though seed emerged, the cold side goes on in
 * the line of the two next warmer trials, the warm side stays at its last.
 */
export function emergenceProgressPerDay(row: readonly Trial[], soilC: number): number {
  return between(soilC, (column) => bridgedRate(row, column));
}

/** Share 0..1 of normal seedlings at a steady `soilC`, gaps bridged by the next colder trial. */
export function bridgedSeedlingShare(row: readonly Trial[], soilC: number): number {
  return between(soilC, (column) => {
    for (let at = column; at >= 0; at--) {
      const percent = row[at]?.normalPercent ?? null;
      if (percent !== null) return percent / 100;
    }
    return 0;
  });
}

/** Straight between the columns on either side; beyond the ends, the end. */
function between(soilC: number, valueAt: (column: number) => number): number {
  const last = COLUMNS_C.length - 1;
  const place = Math.min(last, Math.max(0, soilC / COLUMN_STEP_C));
  const index = Math.floor(place);
  const low = valueAt(index);
  return low + (valueAt(Math.min(last, index + 1)) - low) * (place - index);
}

function bridgedRate(row: readonly Trial[], column: number): number {
  const trial = row[column];
  if (trial === undefined || trial.days === NG) return 0;
  if (trial.days !== null) return 1 / trial.days;
  if (trial.normalPercent === 0) return 0;
  const [next, nextButOne] = [row[column + 1], row[column + 2]];
  const [near, far] = [next && rateOf(next), nextButOne && rateOf(nextButOne)];
  if (near != null && far != null) return Math.max(0, 2 * near - far);
  const before = row[column - 1];
  return (before && rateOf(before)) ?? 0;
}

function rateOf(trial: Trial): number | null {
  return typeof trial.days === 'number' ? 1 / trial.days : null;
}

/** The trials on either side of `soilC`, and how far it is from the colder to the warmer, 0..1. */
function neighbours(
  crop: EmergenceCrop,
  soilC: number,
): { cold: Trial; warm: Trial; part: number } | null {
  const place = soilC / COLUMN_STEP_C;
  const index = Math.floor(place);
  const row: readonly Trial[] = TRIALS[crop];
  const cold = row[index];
  if (!cold) return null;
  const part = place - index;
  const warm = part === 0 ? cold : row[index + 1];
  return warm ? { cold, warm, part } : null;
}

/** The trials of one crop, column by column from 0 to 40 C. */
export function trials(
  days: readonly (number | 'never' | null)[],
  normalPercent: readonly (number | null)[],
): readonly Trial[] {
  return COLUMNS_C.map((_, i) => ({
    days: days[i] ?? null,
    normalPercent: normalPercent[i] ?? null,
  }));
}
