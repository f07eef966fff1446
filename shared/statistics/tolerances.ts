/**
 * By how much counts of one lot may differ before the test itself is in doubt: tables that official seed tests go by. They
 * are looked up, not worked out: the printed steps are not quite those of any one formula.
 */

/** From this mean per cent on, so many points. Highest mean first; rows below the last are not known here. */
type Table = readonly (readonly [fromPercent: number, points: number])[];

/**
 * Greatest range of replicates of 100 seeds, by how many there are: 7 CFR 201.55 (Federal Seed Act regulations). The printed
 * table goes on to 51 %; no copy that could be read did.
 */
export const REPLICATE_RANGES: Readonly<Record<2 | 4, Table>> = {
  4: [
    [99, 5],
    [98, 6],
    [97, 7],
    [96, 8],
    [95, 9],
    [93, 10],
    [91, 11],
    [89, 12],
    [87, 13],
    [84, 14],
    [81, 15],
    [78, 16],
    [73, 17],
    [71, 18],
  ],
  2: [
    [96, 6],
    [95, 7],
    [93, 8],
    [90, 9],
    [88, 10],
    [84, 11],
    [81, 12],
    [76, 13],
    [71, 14],
  ],
};

/** Where the table for two replicates begins: closer to 100 % it has no figure. */
const TWO_REPLICATES_TO_PERCENT = 97;

/**
 * Greatest difference of two tests of 400 seeds of one lot: tolerances of the Association of Official Seed Analysts, as in
 * the Louisiana Administrative Code, title 7, XIII-139.
 */
export const TWO_TESTS: Table = [
  [99, 2],
  [97, 3],
  [94, 4],
  [91, 5],
  [87, 6],
  [82, 7],
  [76, 8],
  [70, 9],
  [60, 10],
  [51, 11],
];

/** The tables are for germination and for failure alike: 3 % is looked up as 98 %. */
const upperHalf = (percent: number): number => {
  const whole = Math.round(percent);
  return whole >= 51 ? whole : 101 - whole;
};

function lookedUp(table: Table, meanPercent: number): number | null {
  const mean = upperHalf(meanPercent);
  if (mean > 99) return null;
  return table.find(([from]) => mean >= from)?.[1] ?? null;
}

/** The mean at which the rows known for replicates stop, per cent. */
export const REPLICATES_FROM_PERCENT = 71;

/** Points by which replicates of 100 seeds with this mean may range; null where the table, as far as it is known, has no figure. */
export function replicateRange(replicates: 2 | 4, meanPercent: number): number | null {
  if (replicates === 2 && upperHalf(meanPercent) > TWO_REPLICATES_TO_PERCENT) return null;
  return lookedUp(REPLICATE_RANGES[replicates], meanPercent);
}

/** Points by which two tests of 400 seeds with this mean may differ; null where the table has no figure. */
export function twoTestsTolerance(meanPercent: number): number | null {
  return lookedUp(TWO_TESTS, meanPercent);
}
