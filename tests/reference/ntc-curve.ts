/**
 * How a maker's table is checked: finding a misprinted row, and telling whether a B value belongs to the pair it
 * is printed with.
 */
import {
  type BParameter,
  bBetween,
  KELVIN_AT_0C,
  type SteinhartHart,
  type TableRow,
  temperatureC,
} from '../../shared/physics/ntc';
import { accept, decline, type Verdict } from '../../shared/physics/verdict';

/** Pairs that makers print B for, degrees Celsius. */
const COMMON_PAIRS: readonly (readonly [number, number])[] = [
  [25, 50],
  [25, 75],
  [25, 80],
  [25, 85],
  [25, 100],
  [0, 50],
  [0, 100],
];

/** A row the rest of its table contradicts. */
export interface SuspectRow extends TableRow {
  /** What the curve through the other rows makes of the printed resistance. */
  readonly readsC: number;
}

/**
 * Rows that do not fit the Steinhart-Hart curve of the others within `toleranceK`, worst first.
 * One row at a time is left out, so a wrong row cannot hide by bending the curve towards itself.
 * Refuses tables of fewer than six usable rows, and those where more than a quarter are wrong: then
 * it is the table. The default tolerance suits tables printed to four digits.
 */
export function suspectRows(
  table: readonly TableRow[],
  toleranceK = 0.1,
): Verdict<readonly SuspectRow[]> {
  const suspects: SuspectRow[] = [];
  let rest = table.filter((row) => row.ohm > 0 && Number.isFinite(row.ohm + row.tempC));
  if (rest.length < 6 || rest.length < table.length) {
    return decline(
      'At least six rows are needed, each with a temperature and a resistance above 0.',
    );
  }
  while (worstMissK(rest, leastSquares(rest)) > toleranceK) {
    if (suspects.length + 1 > table.length / 4) {
      return decline(
        'More than a quarter of the rows do not fit one curve. Check that the table is for one part.',
      );
    }
    const odd = oddestRow(rest);
    if (odd === null) break;
    suspects.push(odd.row);
    rest = odd.others;
  }
  return accept(suspects);
}

/** B between two temperatures of a table that both have a row, or null. */
export function bOfTable(table: readonly TableRow[], t1C: number, t2C: number): number | null {
  const first = table.find((row) => row.tempC === t1C);
  const second = table.find((row) => row.tempC === t2C);
  return first && second ? bBetween(t1C, first.ohm, t2C, second.ohm) : null;
}

/**
 * Whether a B value belongs to the temperature pair it is given with, by the part's own table, within
 * `toleranceK` of B. A refusal names the pair it does belong to, when one of the usual pairs fits.
 */
export function checkBPair(
  parameter: BParameter,
  table: readonly TableRow[],
  toleranceK = 10,
): Verdict<BParameter> {
  const { b, t1C, t2C } = parameter;
  const actual = bOfTable(table, t1C, t2C);
  if (actual === null) {
    return decline(
      `The table has no rows for ${t1C} and ${t2C} C, so B${t1C}/${t2C} cannot be checked.`,
    );
  }
  if (Math.abs(actual - b) <= toleranceK) return accept(parameter);
  const owner = COMMON_PAIRS.find(([first, second]) => {
    const other = bOfTable(table, first, second);
    return other !== null && Math.abs(other - b) <= toleranceK;
  });
  return decline(
    `B${t1C}/${t2C} of this part is ${Math.round(actual)} K, not ${b} K. ` +
      (owner
        ? `${b} K is its B${owner[0]}/${owner[1]}: name that pair.`
        : 'Take B from the data sheet of this part, with its two temperatures.'),
  );
}

function oddestRow(rows: readonly TableRow[]): { row: SuspectRow; others: TableRow[] } | null {
  let best: { row: SuspectRow; others: TableRow[] } | null = null;
  let bestMissK = Number.POSITIVE_INFINITY;
  for (const row of rows) {
    const others = rows.filter((other) => other !== row);
    const curve = leastSquares(others);
    const missK = worstMissK(others, curve);
    if (missK < bestMissK) {
      bestMissK = missK;
      best = { row: { ...row, readsC: temperatureC(row.ohm, curve) }, others };
    }
  }
  return best;
}

function worstMissK(rows: readonly TableRow[], curve: SteinhartHart): number {
  return Math.max(...rows.map((row) => Math.abs(temperatureC(row.ohm, curve) - row.tempC)));
}

/** Best curve through any number of rows: least squares in 1/T, normal equations by Cramer's rule. */
function leastSquares(rows: readonly TableRow[]): SteinhartHart {
  let [n, s1, s2, s3, s4, s6, y0, y1, y3] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (const row of rows) {
    const l = Math.log(row.ohm);
    const y = 1 / (row.tempC + KELVIN_AT_0C);
    const cube = l * l * l;
    n += 1;
    s1 += l;
    s2 += l * l;
    s3 += cube;
    s4 += l * cube;
    s6 += cube * cube;
    y0 += y;
    y1 += y * l;
    y3 += y * cube;
  }
  const whole = determinant(n, s1, s3, s1, s2, s4, s3, s4, s6);
  return {
    a: determinant(y0, s1, s3, y1, s2, s4, y3, s4, s6) / whole,
    b: determinant(n, y0, s3, s1, y1, s4, s3, y3, s6) / whole,
    c: determinant(n, s1, y0, s1, s2, y1, s3, s4, y3) / whole,
  };
}

/** Determinant of a 3 x 3 matrix, row by row. */
function determinant(
  ...m: [number, number, number, number, number, number, number, number, number]
): number {
  const [a, b, c, d, e, f, g, h, i] = m;
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}
