/** The scale: 24-bit bridge words, counts and grams, calibration with a known weight. */
import { SCALE_CODE_MAX, SCALE_CODE_MIN } from '../board/map';
import { accept, decline, type Verdict } from './verdict';

/** Gain of the converter's channel A as the board wires it. */
export const BRIDGE_GAIN = 128;
/** A known weight below this share of the cell multiplies its errors past use (error growth: x / M). */
export const SCALE_WEIGHT_MIN_SHARE = 0.05;
/** Codes that the board weighs by, one a tick; so many at each end of them, by size, are left out. */
export const SCALE_WINDOW_CODES = 11;
export const SCALE_TRIM_CODES = 3;
/** Codes whose mean is a weight: the middle ones. */
export const SCALE_MEAN_CODES = SCALE_WINDOW_CODES - 2 * SCALE_TRIM_CODES;

/** A smaller change than this between the two points is noise and creep, not a calibration. */
const SMALLEST_SPAN_COUNTS = 2000;

/** A load cell as its label says. */
export interface LoadCell {
  readonly ratedG: number;
  /** Rated output, mV per V of excitation: 1 or 2 for common cells. */
  readonly ratedMvPerV: number;
}

/** What turns codes into grams: mass = (code - zeroCode) / countsPerG. */
export interface ScaleCalibration {
  readonly zeroCode: number;
  readonly countsPerG: number;
}

/** Signed code of a 24-bit two's complement word, -8388608..8388607. Higher bits are ignored. */
export function decodeBridgeWord(word: number): number {
  return (word << 8) >> 8;
}

/** True for the converter's two end codes: they mean overload or a broken wire, never a mass. */
export function isSaturated(code: number): boolean {
  return code >= SCALE_CODE_MAX || code <= SCALE_CODE_MIN;
}

/**
 * Counts per gram a cell should give, within about 1 % before calibration: output at rated load
 * times gain times 2^24. Excitation and reference are the same voltage, so it cancels.
 */
export function nominalCountsPerG(cell: LoadCell, gain = BRIDGE_GAIN): number {
  return (cell.ratedMvPerV * 1e-3 * gain * 2 ** 24) / cell.ratedG;
}

/** Mass on the scale, g. NaN for a saturated code or none. */
export function massFromCode(code: number, calibration: ScaleCalibration): number {
  if (isSaturated(code)) return Number.NaN;
  return (code - calibration.zeroCode) / calibration.countsPerG;
}

/** The code, not rounded, of a mass: the inverse of `massFromCode`. */
export function codeFromMass(massG: number, calibration: ScaleCalibration): number {
  return calibration.zeroCode + massG * calibration.countsPerG;
}

/**
 * Calibration from the code of the empty scale and the code under a known weight. Refuses a weight
 * that is not above zero, saturated codes, a change too small to mean anything, and a wrong sign.
 */
export function calibrateTwoPoint(
  zeroCode: number,
  loadedCode: number,
  weightG: number,
): Verdict<ScaleCalibration> {
  if (!(weightG > 0) || !Number.isFinite(weightG)) {
    return decline('The known weight must be more than 0 g.');
  }
  if (!Number.isFinite(zeroCode) || !Number.isFinite(loadedCode)) {
    return decline('The scale gave no reading. Check the plug of the load cell, then start again.');
  }
  if (isSaturated(zeroCode) || isSaturated(loadedCode)) {
    return decline(
      'The scale is overloaded or a wire is broken: its reading is at the end of the range. ' +
        'Take the weight off and check the wiring of the load cell.',
    );
  }
  const span = loadedCode - zeroCode;
  if (Math.abs(span) < SMALLEST_SPAN_COUNTS) {
    return decline(
      `The reading changed by only ${Math.round(span)} counts under the weight. ` +
        'Check that the weight stands on the scale and the tray touches nothing else.',
    );
  }
  if (span < 0) {
    return decline(
      'The reading went down under the weight: the load cell is upside down, or its two signal ' +
        'wires are swapped. Turn it over or swap them, then start again.',
    );
  }
  return accept({ zeroCode, countsPerG: span / weightG });
}

/** Standard uncertainties, g, that enter a two-point calibration. */
export interface ScaleUncertainties {
  /** Of the reading at zero, and of the reading under the weight, when calibrating. */
  readonly zeroG: number;
  readonly loadedG: number;
  /** Of the reading being judged. */
  readonly readingG: number;
  /** Of the known weight itself. */
  readonly weightG: number;
}

/** Standard uncertainty of a value known only to lie within +/- `limit`: limit / sqrt 3 (GUM 4.3.7). */
export function standardFromLimit(limit: number): number {
  return limit / Math.sqrt(3);
}

/**
 * Standard uncertainty, g, of a mass `massG` read after calibrating with `weightG`:
 * u2 = (1 - x/M)2 u0^2 + (x/M)2 (u1^2 + uM^2) + ux^2, by the law of propagation (GUM 5.1.2).
 * It grows beyond the weight: calibrate at or above the working mass.
 */
export function massUncertaintyG(massG: number, weightG: number, u: ScaleUncertainties): number {
  const ratio = massG / weightG;
  return Math.hypot((1 - ratio) * u.zeroG, ratio * u.loadedG, ratio * u.weightG, u.readingG);
}

/**
 * The smallest known weight, g, that keeps the standard uncertainty at `massG` within `targetG`.
 * Refuses when no weight would, because the reading itself is too noisy.
 */
export function weightNeededG(
  massG: number,
  targetG: number,
  u: ScaleUncertainties,
): Verdict<number> {
  // u^2 is quadratic in r = mass / weight: sum r^2 - 2 u0^2 r + (u0^2 + ux^2 - target^2) <= 0.
  const zero = u.zeroG ** 2;
  const sum = zero + u.loadedG ** 2 + u.weightG ** 2;
  const rest = zero + u.readingG ** 2 - targetG ** 2;
  const discriminant = zero * zero - sum * rest;
  const largestRatio = sum > 0 ? (zero + Math.sqrt(discriminant)) / sum : Number.NaN;
  if (!(largestRatio > 0)) {
    return decline(
      `No weight makes this scale good to ${targetG} g: its readings scatter too much. ` +
        'Shield it from draughts, let it settle, and check that nothing touches the tray.',
    );
  }
  return accept(massG / largestRatio);
}
