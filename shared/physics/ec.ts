/**
 * EC at any temperature: a feed or water brought to 25 C, and what a bottle of standard has where it
 * stands. Two curves, for a standard is potassium chloride, and what ISO 7888 gives for natural water is
 * 1 to 2 % out on it in a room, and 4 % in the cold.
 */
import { accept, decline, type Verdict } from './verdict';

/**
 * Factor that brings a conductivity measured at 0, 1, 2 ... 35 C to 25 C: ISO 7888 (EN 27888), natural
 * water. Straight lines between give its tenths of a degree within 0.001.
 */
// biome-ignore format: ten a row
const F25: readonly number[] = [
  1.918, 1.857, 1.8, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467,
  1.428, 1.39, 1.354, 1.32, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141,
  1.116, 1.091, 1.067, 1.044, 1.021, 1, 0.979, 0.959, 0.94, 0.921,
  0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
];

/** Of ISO 7888, as far as whole degrees go. */
export const F25_C = { low: 0, high: F25.length - 1 } as const;

/** Between two neighbours of a table, in proportion; NaN outside. */
function between(table: readonly (readonly [at: number, value: number])[], at: number): number {
  for (let i = 1; i < table.length; i++) {
    const [low, high] = [table[i - 1], table[i]];
    if (!low || !high || at > high[0]) continue;
    return at >= low[0]
      ? low[1] + ((high[1] - low[1]) * (at - low[0])) / (high[0] - low[0])
      : Number.NaN;
  }
  return Number.NaN;
}

const F25_BY_DEGREE = F25.map((factor, degree) => [degree, factor] as const);

/**
 * EC at 25 C, mS/cm, of a feed or water from an uncompensated reading at `tempC`, 0 to 35 C; NaN outside.
 * Meters that compensate by themselves must not be corrected again. Not for the standard in its bottle.
 */
export function ecAt25C(ecMsCm: number, tempC: number): number {
  return ecMsCm * between(F25_BY_DEGREE, tempC);
}

/** A standard as its bottle names it, and its conductivity by temperature, in any unit. */
interface StandardCurve {
  readonly at25MsCm: number;
  readonly curve: readonly (readonly [tempC: number, value: number])[];
}

/**
 * 1.413 and 12.88: KCl of 0.01 and 0.1 mol/kg, NIST by the CRC Handbook (Wu et al. 1991 and 1994, Pratt et
 * al. 2001), in uS/cm; a bottle's curve has the same shape within 0.1 %. 0.084 and 0.5: tables on bottles
 * in a bench meter's manual, uS/cm, where the first temperature of 84 is misprinted 0 C for 5 C.
 */
const STANDARDS: readonly StandardCurve[] = [
  // biome-ignore format: a table
  { at25MsCm: 0.084, curve: [[5, 53.02], [10, 60.34], [15, 67.61], [20, 75.8], [25, 84], [30, 92.19], [35, 100.92]] },
  // biome-ignore format: a table
  { at25MsCm: 0.5, curve: [[5, 315.3], [10, 359.6], [15, 402.9], [20, 451.5], [25, 500], [30, 548.5], [35, 602.5]] },
  // biome-ignore format: a table
  { at25MsCm: 1.413, curve: [[0, 772.92], [5, 890.96], [10, 1013.95], [15, 1141.45], [18, 1219.93], [20, 1273.03], [25, 1408.23], [30, 1546.63], [35, 1687.79], [40, 1831.27]] },
  // biome-ignore format: a table
  { at25MsCm: 12.88, curve: [[0, 7116.85], [5, 8183.7], [10, 9291.72], [15, 10437.1], [18, 11140.6], [20, 11615.9], [25, 12824.6], [30, 14059.2], [35, 15316], [40, 16591]] },
];

/** Bottles known here, mS/cm at 25 C. */
export const STANDARD_BOTTLES_MS_CM: readonly number[] = STANDARDS.map(({ at25MsCm }) => at25MsCm);
/** Of any other. */
export const UNKNOWN_BOTTLE = `The bottles whose curve is known are of ${STANDARD_BOTTLES_MS_CM.join(', ')} mS/cm at 25 °C.`;
/** A label of 1408 or 1.41 is the bottle of 1413. */
const SAME_BOTTLE = 0.01;
const REFERENCE_C = 25;

const standardOf = (bottleMsCm: number): StandardCurve | undefined =>
  STANDARDS.find(({ at25MsCm }) => Math.abs(bottleMsCm / at25MsCm - 1) <= SAME_BOTTLE);

/** Where the curve of a bottle is known, C; null for a bottle that is not. */
export function standardRangeC(
  bottleMsCm: number,
): { readonly low: number; readonly high: number } | null {
  const { curve } = standardOf(bottleMsCm) ?? { curve: [] };
  const [first, last] = [curve[0], curve.at(-1)];
  return first === undefined || last === undefined ? null : { low: first[0], high: last[0] };
}

/** What a standard conducts where it stands, mS/cm. Refuses bottles and temperatures whose curve is not known. */
export function standardAt(bottleMsCm: number, tempC: number): Verdict<number> {
  const known = standardOf(bottleMsCm);
  if (known === undefined) {
    return decline(UNKNOWN_BOTTLE);
  }
  const value = between(known.curve, tempC) / between(known.curve, REFERENCE_C);
  if (Number.isNaN(value)) {
    return decline('Its curve is not known there. Let the bottle come to the room.');
  }
  return accept(bottleMsCm * value);
}

/** How a meter does in a bottle: as well as bottles are sold, or worse. */
export type MeterState = 'good' | 'calibrate' | 'mend';

/** A bottle is good to 1 %, a pocket meter to 2 % (common practice). */
const METER_GOOD_SHARE = 0.02;
/** Past this it is no drift: another bottle, a dirty cell, a wrong unit (common practice). */
const METER_MEND_SHARE = 0.15;

/** By how much a meter reads too high, as a share of what it should read, and what that means. */
export function meterInBottle(
  readMsCm: number,
  trueMsCm: number,
): { readonly errorShare: number; readonly state: MeterState } {
  const errorShare = readMsCm / trueMsCm - 1;
  const size = Math.abs(errorShare);
  if (size <= METER_GOOD_SHARE) return { errorShare, state: 'good' };
  return { errorShare, state: size <= METER_MEND_SHARE ? 'calibrate' : 'mend' };
}
