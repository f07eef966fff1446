/** What the pump gives now, by the doses that were weighed, against what it gave when it was calibrated. Pure. */

import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { mlFromG } from '../../shared/physics/water';
import { lineThrough } from '../../shared/statistics/line';
import { HOUR_MS } from '../../shared/units/time';
import { notesOf, type Record } from '../explain/record';
import { givenDoses } from './dose-times';
import { type Figure, figureOfLn, NINE_OF_TEN_Z } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';

export interface PumpFlow {
  readonly mlPerS: Figure;
  /** Against its calibration: below 0 where the tube is worn; null where that is not in the journal. */
  readonly change: { readonly share: number; readonly low: number; readonly high: number } | null;
  readonly doses: number;
}

interface Dosed {
  /** Hours that the pump has run since the first of them. */
  readonly ranH: number;
  readonly lnMlPerS: number;
}

/** Declines where too few doses were weighed since the pump was calibrated. */
export function pumpFlowOf(record: Record): Verdict<PumpFlow> {
  const calibrated = notesOf(record, 'calibration')
    .flatMap(({ atMs, entry }) => (entry.target === 'pump' ? [{ atMs, mlPerS: entry.mlPerS }] : []))
    .at(-1);
  const dosed = dosedSince(record, calibrated?.atMs ?? record.fromMs);
  if (dosed.length < LIMITS.dosesLeast)
    return decline(
      `${dosed.length === 0 ? 'No dose was' : `Only ${dosed.length} of the doses were`} weighed since the pump was calibrated; ${LIMITS.dosesLeast} tell what it gives.`,
    );
  const { ln, sdLn } = flowNow(dosed);
  const mlPerS = Math.exp(ln);
  const spread = Math.exp(NINE_OF_TEN_Z * sdLn);
  const ratio = calibrated === undefined ? null : mlPerS / calibrated.mlPerS;
  return accept({
    mlPerS: figureOfLn(mlPerS, sdLn),
    change:
      ratio === null
        ? null
        : { share: ratio - 1, low: ratio / spread - 1, high: ratio * spread - 1 },
    doses: dosed.length,
  });
}

function dosedSince(record: Record, fromMs: number): readonly Dosed[] {
  let ranH = 0;
  return givenDoses(record)
    .filter(({ atMs }) => atMs > fromMs)
    .flatMap(({ ranMs, gainedG, driedG }) => {
      ranH += ranMs / HOUR_MS;
      if (Number.isNaN(driedG)) return [];
      const ml = mlFromG(gainedG + driedG) / (1 - LIMITS.pastShare);
      return [{ ranH, lnMlPerS: Math.log(ml / (ranMs / 1000)) }];
    })
    .slice(-LIMITS.dosesMost);
}

/** The line through them at its end: a tube wears by the hours that it runs. Their scatter about it says how sure that is. */
function flowNow(dosed: readonly Dosed[]): { readonly ln: number; readonly sdLn: number } {
  const lastH = dosed.at(-1)?.ranH ?? 0;
  const spanH = Math.max(1e-6, lastH - (dosed[0]?.ranH ?? 0));
  const points = (variance: number) =>
    dosed.map(({ ranH, lnMlPerS }) => ({ x: ranH - lastH, y: lnMlPerS, variance }));
  const level = { mean: 0, sd: Number.POSITIVE_INFINITY };
  const slope = { mean: 0, sd: LIMITS.wearLn / spanH };
  const rough = lineThrough(points(LIMITS.doseLn ** 2), level, slope);
  const squares = dosed.reduce(
    (sum, { ranH, lnMlPerS }) => sum + (lnMlPerS - rough.level - rough.slope * (ranH - lastH)) ** 2,
    0,
  );
  const variance = Math.max(squares / (dosed.length - 2), LIMITS.doseLeastLn ** 2);
  const line = lineThrough(points(variance), level, slope);
  return { ln: line.level, sdLn: Math.hypot(Math.sqrt(line.levelVar), LIMITS.flowLn) };
}
