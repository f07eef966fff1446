/**
 * Seed as the simulated tray needs it: published trials by columns of 5 C, for a model that cannot refuse. Days and
 * per cent are kept apart on purpose: lettuce at 30 C is as quick as at 20 C, but only 12 % come up.
 */
import type { Crop, TrialRow } from '../../../shared/crops/library/crop';

/** What a trial at one temperature gave. `null` was not tested or not recorded, which is not 0. */
export interface SeedColumn {
  /** Days to emergence; `never` where none came up. */
  readonly days: number | 'never' | null;
  readonly normalShare: number | null;
}

export const COLUMN_STEP_C = 5;
const COLUMNS_C = [0, 5, 10, 15, 20, 25, 30, 35, 40] as const;
/** At or beyond the crop's limits, where nobody tried. */
const NONE: SeedColumn = { days: 'never', normalShare: 0 };
/** So much of a temperature in F may be lost in C. */
const ROUNDING_C = 0.05;

/** A table with fewer columns is no table. */
const FEWEST_COLUMNS = 3;

/** The crop's first table of trials by fives as columns from 0 to 40 C, or what stands in for it; null for none. */
export function seedColumns({ trials, temperatures, growth }: Crop): readonly SeedColumn[] | null {
  const rowAt = (rows: readonly TrialRow[], columnC: number) =>
    rows.find(({ atC }) => atC.low === columnC && atC.high === columnC);
  const tables = [...trials.map(({ rows }) => rows), growth?.seed ?? []];
  const table = tables.find(
    (rows) => COLUMNS_C.filter((atC) => rowAt(rows, atC)).length >= FEWEST_COLUMNS,
  );
  if (table === undefined) return null;
  const minC = temperatures.find((one) => one.minC !== null)?.minC ?? Number.NEGATIVE_INFINITY;
  const maxC = temperatures.find((one) => one.maxC !== null)?.maxC ?? Number.POSITIVE_INFINITY;
  return COLUMNS_C.map((columnC) => {
    const row = rowAt(table, columnC);
    if (row === undefined) {
      const isBeyond = columnC < minC + ROUNDING_C || columnC > maxC - ROUNDING_C;
      return isBeyond ? NONE : { days: null, normalShare: null };
    }
    const { days, normalShare } = row;
    return { days: typeof days === 'object' && days !== null ? days.low : days, normalShare };
  });
}

/**
 * Progress per day towards emergence at a steady `soilC`, 1 at emergence: 0 where none came up. Where days
 * are missing though seed emerged, the cold side goes on in the line of the two next warmer trials, the
 * warm side stays at its last.
 */
export function emergenceProgressPerDay(row: readonly SeedColumn[], soilC: number): number {
  return between(soilC, (column) => bridgedRate(row, column));
}

/** Share 0..1 of normal seedlings at a steady `soilC`, gaps bridged by the next colder trial. */
export function bridgedSeedlingShare(row: readonly SeedColumn[], soilC: number): number {
  return between(soilC, (column) => {
    for (let at = column; at >= 0; at--) {
      const share = row[at]?.normalShare ?? null;
      if (share !== null) return share;
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

function bridgedRate(row: readonly SeedColumn[], column: number): number {
  const trial = row[column];
  if (trial === undefined || trial.days === 'never') return 0;
  if (trial.days !== null) return 1 / trial.days;
  if (trial.normalShare === 0) return 0;
  const [next, nextButOne] = [row[column + 1], row[column + 2]];
  const [near, far] = [next && rateOf(next), nextButOne && rateOf(nextButOne)];
  if (near != null && far != null) return Math.max(0, 2 * near - far);
  const before = row[column - 1];
  return (before && rateOf(before)) ?? 0;
}

function rateOf(trial: SeedColumn): number | null {
  return typeof trial.days === 'number' ? 1 / trial.days : null;
}
