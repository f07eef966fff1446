/** Which NTC a probe is, by what its maker tells of it. Pure. */
import { refusalSentence } from '../../shared/link/host/refusals';
import { curveFromB, type SteinhartHart, type TableRow } from '../../shared/physics/ntc';
import { fitted, oneBOffK } from '../../shared/physics/ntc-fit';
import {
  CURVE_LIMITS,
  type ProbeCurve,
  probeCurveOf,
  type Unfit,
  unfitCurve,
} from '../../shared/physics/probe-curve';
import type { UnitSystem } from '../../shared/units';
import { type Assessment, refusal } from './refusal';

/** A maker's B with the resistance at 25 °C; the temperatures between which it holds. */
export interface GivenB {
  readonly r25Ohm: number;
  readonly bK: number;
  readonly betweenC: readonly [number, number];
}

const NEXT =
  'See the data sheet of the probe: its resistance at 25 °C and its B, or three rows of its table.';

/** The curve by one B: 1/T = 1/T25 + ln(R/R25)/B (IEC 60539-1). */
export function curveByB({ r25Ohm, bK }: GivenB, units: UnitSystem): Assessment<ProbeCurve> {
  const { bMinK, bMaxK } = CURVE_LIMITS;
  // What was typed is named, before the resistances that come of it.
  if (!(bK >= bMinK && bK <= bMaxK))
    return refused('ntc-out-of-range', [r25Ohm, Math.round(bK)], units);
  return assessed(curveFromB({ b: bK, t1C: 25, t2C: 85 }, r25Ohm), units);
}

/** The curve through three rows of the maker's table (Steinhart and Hart 1968). */
export function curveByRows(
  rows: readonly [TableRow, TableRow, TableRow],
  units: UnitSystem,
): Assessment<ProbeCurve> {
  const curve = fitted(rows);
  return curve.ok ? assessed(curve.value, units) : refusal('not-an-ntc', curve.why, NEXT);
}

/** How far off one B leaves a reading where a tray is held, K at the most. */
export function leftOpenK({ betweenC: [t1C, t2C] }: GivenB): number {
  const { fromC, toC } = CURVE_LIMITS;
  return Math.max(oneBOffK(t1C, t2C, fromC), oneBOffK(t1C, t2C, toC));
}

function assessed(coefficients: SteinhartHart, units: UnitSystem): Assessment<ProbeCurve> {
  const curve = probeCurveOf(coefficients);
  const unfit = unfitCurve(curve);
  if (unfit === null) return { ok: true, findings: curve };
  return refused(unfit.why, unfit.facts, units);
}

const refused = (
  why: Unfit['why'],
  facts: Unfit['facts'],
  units: UnitSystem,
): Assessment<ProbeCurve> => refusal(why, refusalSentence(why, facts, units), NEXT);
