/**
 * The probe: an NTC thermistor on the low side of a divider. Code, resistance and temperature.
 *
 * One form of curve is used throughout, Steinhart-Hart: 1/T = A + B ln R + C (ln R)^3, T in kelvin,
 * R in ohm. A B-parameter is the special case C = 0 (`curveFromB`), good to about 0.8 K at 0 C, so
 * it serves for checks and for parts of which no more is known, not for the reference probe.
 */
import { ADC_FULL_SCALE, dividerCode, PROBE_REFERENCE_OHM } from '../board/map';

/** 0 C in kelvin (exact by definition of the Celsius scale; 273.16 is the triple point). */
export const KELVIN_AT_0C = 273.15;

/** Coefficients of 1/T = a + b ln R + c (ln R)^3. */
export interface SteinhartHart {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/**
 * The reference probe: 10 k at 25 C, B25/85 3977 K. Fitted through 0, 25 and 50 C of the maker's
 * table; within 0.005 K of it from 0 to 50 C, 0.04 K at 85 C (tests/reference).
 */
export const REFERENCE_PROBE: SteinhartHart = {
  a: 1.1351065963848437e-3,
  b: 2.3293283958829476e-4,
  c: 9.409643134565474e-8,
};

/** Its B25/85 as its maker names it, K: the curve above, which need not be right up there, comes to 3975. */
export const REFERENCE_PROBE_B_K = 3977;

/** B of a thermistor with the two temperatures it holds between: without them it means nothing. */
export interface BParameter {
  /** Kelvin. */
  readonly b: number;
  readonly t1C: number;
  readonly t2C: number;
}

/** Temperature, degrees Celsius, of resistance `ohm`. NaN unless `ohm` is above zero. */
export function temperatureC(ohm: number, curve: SteinhartHart = REFERENCE_PROBE): number {
  const lnR = Math.log(ohm);
  return 1 / (curve.a + lnR * (curve.b + curve.c * lnR * lnR)) - KELVIN_AT_0C;
}

/** Resistance, ohm, at `tempC`: the inverse of `temperatureC`, by Newton's method. */
export function resistanceOhm(tempC: number, curve: SteinhartHart = REFERENCE_PROBE): number {
  const inverseK = 1 / (tempC + KELVIN_AT_0C);
  let lnR = Math.log(PROBE_REFERENCE_OHM);
  // The curve is nearly straight in ln R: four steps reach the last digit, twelve are ample.
  for (let step = 0; step < 12; step++) {
    const square = lnR * lnR;
    const miss = curve.a + lnR * (curve.b + curve.c * square) - inverseK;
    lnR -= miss / (curve.b + 3 * curve.c * square);
  }
  return Math.exp(lnR);
}

/**
 * Resistance, ohm, behind an ADC code 0..4095 (a mean of codes may have a fraction). The probe is
 * on the low side: code = 4095 R / (R + reference). 0 at code 0, Infinity at full scale; NaN outside.
 */
export function ohmFromCode(code: number, referenceOhm = PROBE_REFERENCE_OHM): number {
  if (!(code >= 0 && code <= ADC_FULL_SCALE)) return Number.NaN;
  return (referenceOhm * code) / (ADC_FULL_SCALE - code);
}

/** ADC code, not rounded, for resistance `ohm`. */
export function codeFromOhm(ohm: number, referenceOhm = PROBE_REFERENCE_OHM): number {
  return dividerCode(ohm, referenceOhm);
}

/** Temperature, degrees Celsius, behind an ADC code. NaN at or beyond either end of the scale. */
export function temperatureFromCode(
  code: number,
  curve: SteinhartHart = REFERENCE_PROBE,
  referenceOhm = PROBE_REFERENCE_OHM,
): number {
  if (!(code > 0 && code < ADC_FULL_SCALE)) return Number.NaN;
  return temperatureC(ohmFromCode(code, referenceOhm), curve);
}

/** ADC code, not rounded, at `tempC`. */
export function codeFromTemperature(
  tempC: number,
  curve: SteinhartHart = REFERENCE_PROBE,
  referenceOhm = PROBE_REFERENCE_OHM,
): number {
  return codeFromOhm(resistanceOhm(tempC, curve), referenceOhm);
}

/**
 * The curve of a B-parameter through `ohmAtT1` at its first temperature (IEC 60539-1):
 * 1/T = 1/T1 + ln(R/R1)/B.
 */
export function curveFromB(parameter: BParameter, ohmAtT1: number): SteinhartHart {
  return {
    a: 1 / (parameter.t1C + KELVIN_AT_0C) - Math.log(ohmAtT1) / parameter.b,
    b: 1 / parameter.b,
    c: 0,
  };
}

/** A temperature with the resistance that goes with it: a row of a maker's table. */
export interface TableRow {
  readonly tempC: number;
  readonly ohm: number;
}

/**
 * The curve through three rows, exact at each (Steinhart and Hart 1968, Deep-Sea Research 15:497). Does not judge
 * them: `fitted` of `ntc-fit.ts` does.
 */
export function curveThrough(one: TableRow, two: TableRow, three: TableRow): SteinhartHart {
  const [l1, l2, l3] = [Math.log(one.ohm), Math.log(two.ohm), Math.log(three.ohm)];
  const y1 = 1 / (one.tempC + KELVIN_AT_0C);
  const slope2 = (1 / (two.tempC + KELVIN_AT_0C) - y1) / (l2 - l1);
  const slope3 = (1 / (three.tempC + KELVIN_AT_0C) - y1) / (l3 - l1);
  const c = (slope3 - slope2) / (l3 - l2) / (l1 + l2 + l3);
  const b = slope2 - c * (l1 * l1 + l1 * l2 + l2 * l2);
  return { a: y1 - l1 * (b + c * l1 * l1), b, c };
}

/** B, in kelvin, between two points: ln(R1/R2) / (1/T1 - 1/T2) (IEC 60539-1). */
export function bBetween(t1C: number, ohm1: number, t2C: number, ohm2: number): number {
  return Math.log(ohm1 / ohm2) / (1 / (t1C + KELVIN_AT_0C) - 1 / (t2C + KELVIN_AT_0C));
}

/**
 * B of a curve for another temperature pair. This is how a B for one pair is converted to another:
 * it takes the curve, for a real part's B differs from pair to pair.
 */
export function bOfCurve(curve: SteinhartHart, t1C: number, t2C: number): BParameter {
  const b = bBetween(t1C, resistanceOhm(t1C, curve), t2C, resistanceOhm(t2C, curve));
  return { b, t1C, t2C };
}

/**
 * How much warmer, K, the probe reads than its surroundings because of its own current:
 * V^2 R / (R + reference)^2 / dissipation. `dissipationMwPerK`: 1.5 (small bead in still air) to 7.
 * Excitation that is on only for the share `dutyShare` of the time heats that much less.
 */
export function selfHeatingK(
  ohm: number,
  supplyV: number,
  dissipationMwPerK: number,
  dutyShare = 1,
  referenceOhm = PROBE_REFERENCE_OHM,
): number {
  const milliwatt = (1000 * supplyV * supplyV * ohm) / (ohm + referenceOhm) ** 2;
  return (milliwatt * dutyShare) / dissipationMwPerK;
}
