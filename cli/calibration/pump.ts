/** Pump calibration on the scale: judges the runs and the drift against the last calibration. Pure. */

import type { PumpCalibration } from '../../shared/link/methods';
import { calibratePump, type PumpRun, pumpDrift } from '../../shared/physics/pump';
import type { UnitSystem } from '../../shared/units';
import { PUMP_CALIBRATION_LIMITS as LIMITS } from './limits';
import { type Assessment, type Refusal, refusal } from './refusal';
import { fineText } from './words';

export interface PumpFindings {
  readonly mlPerS: number;
  readonly cvPercent: number;
  /** Change against the last calibration, per cent; null when there is none. */
  readonly driftPercent: number | null;
  readonly drift: 'first' | 'steady' | 'ageing' | 'worn-out';
}

export type PumpAssessment = Assessment<PumpFindings>;

/** Refuses a run that brought no water to the scale: the next ones would not either. Null when it did. */
export function checkRun(run: PumpRun, units: UnitSystem): Refusal | null {
  if (run.gainedG >= LIMITS.gainMinG) return null;
  return refusal(
    'pump-gained-nothing',
    `The pump ran ${run.ranS.toFixed(1)} s, and the scale gained nothing (${fineText(run.gainedG, units)}), so no more runs were made. The old pump calibration stays.`,
    'Look whether the reservoir is empty, the tube is primed (`trayward pump prime`), its end is over the tray or a jug on the scale, and the pump turns at all. A very slow pump needs longer runs: --run 60s.',
  );
}

/**
 * Judges runs made with water at `waterC`. `previous`: the calibration in use, or null.
 * `evenIfWorse`: the grower says that the change is meant (new tube, other pump), or as good as it gets.
 */
export function assessPump(
  runs: readonly PumpRun[],
  waterC: number,
  previous: Pick<PumpCalibration, 'mlPerS' | 'cvPercent'> | null,
  evenIfWorse: boolean,
): PumpAssessment {
  const result = calibratePump(runs, waterC);
  if (!result.ok) {
    return refusal('pump-runs-unusable', result.why, 'Nothing was changed.');
  }
  const { mlPerS, cvPercent } = result.value;
  if (!(cvPercent <= LIMITS.cvPercentMax)) {
    return refusal(
      'pump-scatter',
      `The runs scatter by ${cvPercent.toFixed(1)} %; at most ${LIMITS.cvPercentMax} % is accepted.`,
      'Let the air out with `trayward pump prime`, check the tube for kinks, then calibrate again.',
    );
  }
  if (previous !== null && cvPercent > previous.cvPercent + LIMITS.cvWorsePercent && !evenIfWorse) {
    return refusal(
      'pump-worse',
      `The runs scatter by ${cvPercent.toFixed(1)} %, those of the calibration in use by ${previous.cvPercent.toFixed(1)} %. The old one stays.`,
      'Prime the pump, keep hands off the scale, and calibrate again. If this is as good as it gets, add --even-if-worse.',
    );
  }
  const previousMlPerS = previous?.mlPerS ?? 0;
  const known = previousMlPerS > 0;
  const drift = known ? pumpDrift(previousMlPerS, mlPerS) : 'first';
  const driftPercent = known ? (100 * (mlPerS - previousMlPerS)) / previousMlPerS : null;
  if (drift === 'worn-out' && !evenIfWorse) {
    return refusal(
      'pump-drift',
      `The pump now gives ${mlPerS.toFixed(3)} ml/s, ${signed(driftPercent ?? 0)} % against the last calibration: the tube is worn out, or something else changed.`,
      'Replace the tube and calibrate again. If the pump or the tube is new, add --even-if-worse.',
    );
  }
  return { ok: true, findings: { mlPerS, cvPercent, driftPercent, drift } };
}

/** A change with its sign: `+0.1`. */
export const signed = (value: number): string =>
  `${value >= 0 ? '+' : '-'}${Math.abs(value).toFixed(1)}`;
