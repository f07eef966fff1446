/** The curve of an NTC from its maker's table, and what no table of one can say. Laptop and tests; pure. */
import {
  bBetween,
  bOfCurve,
  curveFromB,
  curveThrough,
  KELVIN_AT_0C,
  REFERENCE_PROBE,
  resistanceOhm,
  type SteinhartHart,
  type TableRow,
  temperatureC,
} from './ntc';
import { accept, decline, type Verdict } from './verdict';

/** Rows closer than this magnify the rounding of their last digit. */
const CLOSEST_ROWS_K = 5;

/**
 * B between the warmer two of three rows, over B between the colder two. A real NTC's B rises by a
 * few per cent over 100 K; equal means that the rows came from the B formula, and more than this
 * that one of them is wrong or the part is no NTC.
 */
const B_RISE = { least: 1.002, most: 1.15 } as const;

/** B of common NTC materials, K. */
const B_RANGE_K = { least: 1500, most: 7000 } as const;

/**
 * The curve through three rows of a maker's table, in any order (`curveThrough`). Refuses rows that are alike or
 * closer than 5 K, resistance that does not fall with warmth, and rows in one line: such coefficients would look
 * right and read wrong.
 */
export function fitted(rows: readonly [TableRow, TableRow, TableRow]): Verdict<SteinhartHart> {
  const [cold, middle, warm] = [...rows].sort((one, other) => one.tempC - other.tempC);
  if (!cold || !middle || !warm) return decline('Three rows of the table are needed.');
  const why = faultOfRows(cold, middle, warm);
  return why === null ? accept(curveThrough(cold, middle, warm)) : decline(why);
}

/**
 * How far off, K, the reference probe would read at `atC` if no more than its own B between these two temperatures were
 * known: what one B leaves open of a real NTC. (103AT, of B 3435: half as much again.)
 */
export function oneBOffK(t1C: number, t2C: number, atC: number): number {
  const { b } = bOfCurve(REFERENCE_PROBE, t1C, t2C);
  const oneB = curveFromB({ b, t1C: 25, t2C }, resistanceOhm(25));
  return Math.abs(temperatureC(resistanceOhm(atC), oneB) - atC);
}

function faultOfRows(cold: TableRow, middle: TableRow, warm: TableRow): string | null {
  for (const { tempC, ohm } of [cold, middle, warm]) {
    if (!Number.isFinite(tempC) || tempC <= -KELVIN_AT_0C || !(ohm > 0) || !Number.isFinite(ohm)) {
      return 'Each row needs a temperature above absolute zero and a resistance above 0 ohm.';
    }
  }
  if (middle.tempC - cold.tempC < CLOSEST_ROWS_K || warm.tempC - middle.tempC < CLOSEST_ROWS_K) {
    return `Two rows are alike or closer than ${CLOSEST_ROWS_K} K. Take rows far apart, such as 0, 25 and 50 C.`;
  }
  if (!(cold.ohm > middle.ohm && middle.ohm > warm.ohm)) {
    return 'Resistance must fall as it gets warmer: this is no NTC thermistor, or two rows are swapped.';
  }
  const coldB = bBetween(cold.tempC, cold.ohm, middle.tempC, middle.ohm);
  const warmB = bBetween(middle.tempC, middle.ohm, warm.tempC, warm.ohm);
  for (const b of [coldB, warmB]) {
    if (b < B_RANGE_K.least || b > B_RANGE_K.most) {
      return `Between two rows B is ${Math.round(b)} K; an NTC has ${B_RANGE_K.least} to ${B_RANGE_K.most} K. Check the rows for a typing error.`;
    }
  }
  const rise = warmB / coldB;
  if (Math.abs(rise - 1) < B_RISE.least - 1) {
    return `The rows lie on one line, B ${Math.round(coldB)} K: they came from the B formula, not from a measured table. Use rows of the maker's table, or that B with the resistance at 25 °C.`;
  }
  if (rise < B_RISE.least || rise > B_RISE.most) {
    return `B goes from ${Math.round(coldB)} to ${Math.round(warmB)} K along the rows, as no NTC does. Check them for a misprint.`;
  }
  return null;
}
