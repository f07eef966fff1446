/**
 * Which NTC a probe is, where it is not the reference one: its resistance at three temperatures, which with Steinhart
 * and Hart's equation is the whole curve, and which a meter can be held against. Board and laptop judge it alike. Pure.
 */
import { LIMITER_BOUNDS, PROBE_OPEN_OHM, PROBE_SHORT_OHM } from '../board/map';
import {
  bBetween,
  codeFromTemperature,
  curveThrough,
  REFERENCE_PROBE,
  resistanceOhm,
  type SteinhartHart,
  temperatureC,
  temperatureFromCode,
} from './ntc';

/** Resistance, ohm, at 0, 25 and 50 C. */
export interface ProbeCurve {
  readonly at0Ohm: number;
  readonly at25Ohm: number;
  readonly at50Ohm: number;
}

/** What curves are taken. */
export const CURVE_LIMITS = {
  /** At 25 C, ohm, as makers name them; and beyond, the last digits of what was reckoned from other temperatures. */
  namedOhmMin: 1_000,
  namedOhmMax: 100_000,
  ohmMin: 990,
  ohmMax: 101_000,
  /** B25/85 of the materials that NTC probes are made of, K (data sheets: 2800 to 4600). */
  bMinK: 2_500,
  bMaxK: 5_000,
  /** The same from one kelvin to the next: it is a tenth less at -30 C and more at 110; outside, a row was misread. */
  localBMinK: 2_000,
  localBMaxK: 6_000,
  /**
   * Coarsest step of a reading, K for one code, where a tray is held, C. The mean of many conversions is finer; but the
   * errors of the converter itself count in whole codes, up to four (RP2040 data sheet, erratum E11).
   */
  stepMaxK: 0.1,
  /** What is read finely enough with a usual B: makers' values next to where `stepMaxK` ends, ohm at 25 C. */
  fineOhmMin: 2_200,
  fineOhmMax: 68_000,
  fromC: 10,
  toC: 45,
  /**
   * How far apart the probes may read with a new curve, K: a heated mat is warmer than the wool by less where it lies
   * under it. Told of half its resistance a probe reads 14 to 15 K too cold at room temperature: the limiter is then as
   * much too high, and the rest is the person's, who is asked.
   */
  apartK: 15,
  /** The other probe bears witness while it reads what a tray or a room has, C; beyond, it is the wrong one itself. */
  witnessFromC: 5,
  witnessToC: 45,
  /** Where by the new curve both read what a room has, C, both are this NTC, and the other is told next. */
  roomFromC: 15,
  roomToC: 35,
} as const;

/** Why a curve is not taken: a refusal of the link, with its facts. */
export type Unfit =
  | { readonly why: 'not-an-ntc'; readonly facts: [] }
  | { readonly why: 'ntc-out-of-range'; readonly facts: [at25Ohm: number, bK: number] }
  | { readonly why: 'ntc-too-coarse'; readonly facts: [atC: number, stepK: number] };

/** Between the ends of these, ohm, a curve must fall all the way: no probe that is taken leaves them. */
const RISES_NOWHERE_OHM = { from: 10, to: 10_000_000 } as const;
/** Where the reference probe counts as open and as short, C; and so does every other. */
const OPEN_C = temperatureC(PROBE_OPEN_OHM);
const SHORT_C = temperatureC(PROBE_SHORT_OHM);

/** The coefficients of a curve. */
export function coefficientsOf({ at0Ohm, at25Ohm, at50Ohm }: ProbeCurve): SteinhartHart {
  return curveThrough(
    { tempC: 0, ohm: at0Ohm },
    { tempC: 25, ohm: at25Ohm },
    { tempC: 50, ohm: at50Ohm },
  );
}

/** The other way round; of coefficients that are an NTC's. */
export function probeCurveOf(coefficients: SteinhartHart): ProbeCurve {
  return {
    at0Ohm: resistanceOhm(0, coefficients),
    at25Ohm: resistanceOhm(25, coefficients),
    at50Ohm: resistanceOhm(50, coefficients),
  };
}

/** B25/85 of a curve, K. */
export function bOfProbe(curve: ProbeCurve): number {
  return bBetween(25, curve.at25Ohm, 85, resistanceOhm(85, coefficientsOf(curve)));
}

/** How much warmer one code is than the next at `atC`, K. */
export function stepK(curve: SteinhartHart, atC: number): number {
  const perKelvin = codeFromTemperature(atC - 0.5, curve) - codeFromTemperature(atC + 0.5, curve);
  return 1 / perKelvin;
}

/** Why these resistances are no curve of a probe that can be read, or null where they are. */
export function unfitCurve(curve: ProbeCurve): Unfit | null {
  if (!isNtc(curve)) return { why: 'not-an-ntc', facts: [] };
  const { at25Ohm } = curve;
  const bK = bOfProbe(curve);
  const { ohmMin, ohmMax, bMinK, bMaxK, stepMaxK, fromC, toC } = CURVE_LIMITS;
  if (!(at25Ohm >= ohmMin && at25Ohm <= ohmMax && bK >= bMinK && bK <= bMaxK))
    return { why: 'ntc-out-of-range', facts: [at25Ohm, Math.round(bK)] };
  const coefficients = coefficientsOf(curve);
  // The step is least in between, where probe and reference resistor are alike.
  for (const atC of [fromC, toC]) {
    const step = stepK(coefficients, atC);
    if (!(step <= stepMaxK)) return { why: 'ntc-too-coarse', facts: [atC, step] };
  }
  return null;
}

/** Resistance falls all the way, and at the ends of the range in which a probe is believed as an NTC's does. */
function isNtc(curve: ProbeCurve): boolean {
  const { at0Ohm, at25Ohm, at50Ohm } = curve;
  if (!(at0Ohm > at25Ohm && at25Ohm > at50Ohm && at50Ohm > 0 && at0Ohm < Number.POSITIVE_INFINITY))
    return false;
  const { b, c } = coefficientsOf(curve);
  // The derivative of 1/T by ln R: one over B there. It has no turn between two resistances above 1 ohm.
  const inverseB = (ohm: number): number => b + 3 * c * Math.log(ohm) ** 2;
  if (!(inverseB(RISES_NOWHERE_OHM.from) > 0 && inverseB(RISES_NOWHERE_OHM.to) > 0)) return false;
  return [OPEN_C, SHORT_C].every((atC) => {
    const localB = 1 / inverseB(resistanceOhm(atC, coefficientsOf(curve)));
    return localB >= CURVE_LIMITS.localBMinK && localB <= CURVE_LIMITS.localBMaxK;
  });
}

/** ADC codes beyond which a probe is no probe: above the one it is open, below the other short. */
export interface CodeWindow {
  readonly openCode: number;
  readonly shortCode: number;
}

/** Codes of a probe with this curve, at the temperatures of the reference probe, as far as the converter's ends let. */
export function windowOf(curve: SteinhartHart): CodeWindow {
  const at = (tempC: number): number => Math.round(codeFromTemperature(tempC, curve));
  return {
    openCode: Math.min(LIMITER_BOUNDS.openMax, at(OPEN_C)),
    shortCode: Math.max(LIMITER_BOUNDS.shortMin, at(SHORT_C)),
  };
}

/**
 * What a probe with the raw code `code` reads by `curve` (null: the reference probe), C, without any calibration. NaN
 * where by that curve it is open or short, or where there is no code.
 */
export function readByC(curve: ProbeCurve | null, code: number): number {
  const coefficients = curve === null ? REFERENCE_PROBE : coefficientsOf(curve);
  const { openCode, shortCode } = windowOf(coefficients);
  const isSound = code >= shortCode && code <= openCode;
  return isSound ? temperatureFromCode(code, coefficients) : Number.NaN;
}

/**
 * Whether a new curve is at odds with the other probe, all in C: `byItC` what the probe reads by the curve, `otherC` what
 * the other one reads now, `otherByItC` what that would read by the same curve. What is NaN is at odds with nothing.
 */
export function isAtOdds(byItC: number, otherC: number, otherByItC: number): boolean {
  const { apartK, witnessFromC, witnessToC, roomFromC, roomToC } = CURVE_LIMITS;
  if (!(otherC >= witnessFromC && otherC <= witnessToC)) return false;
  if (!(Math.abs(byItC - otherC) > apartK)) return false;
  return ![byItC, otherByItC].every((readC) => readC >= roomFromC && readC <= roomToC);
}

/** Whether `told` is the curve `asked`; null: the reference probe. */
export function isSameCurve(
  told: ProbeCurve | 'reference' | 'lost',
  asked: ProbeCurve | null,
): boolean {
  if (told === 'lost') return false;
  if (told === 'reference' || asked === null) return told === 'reference' && asked === null;
  const { at0Ohm, at25Ohm, at50Ohm } = told;
  return at0Ohm === asked.at0Ohm && at25Ohm === asked.at25Ohm && at50Ohm === asked.at50Ohm;
}

/** The limiter's code for `hotC` on a probe with this curve: a hotter one gives a lower code. */
export function hotCodeOf(curve: SteinhartHart, hotC: number): number {
  return Math.round(codeFromTemperature(hotC, curve));
}
