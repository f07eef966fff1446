/** The dosing pump: millilitres from seconds, and its calibration on the scale. */
import { accept, decline, type Verdict } from './verdict';
import { ROOM_AIR_KG_M3, USUAL_WATER_C, zFactorMlPerG } from './water';

/**
 * How far a new calibration may lie from the last one, as a share of it (common practice: tubing
 * relaxes by 5 to 20 % over its life). At `warn` the tube is ageing; at `replace` it is worn out.
 */
const PUMP_DRIFT = { warn: 0.05, replace: 0.15 } as const;

/** Shorter runs are mostly starting and stopping (common practice: at least ten roller pulses). */
const PUMP_SHORTEST_RUN_S = 2;

/** One run of the pump onto the scale. */
export interface PumpRun {
  readonly ranS: number;
  /** What the scale showed more afterwards. */
  readonly gainedG: number;
}

export interface PumpCalibration {
  readonly mlPerS: number;
  /** Random error: standard deviation over mean of the runs, per cent. */
  readonly cvPercent: number;
}

/** Water, ml, that the pump gives in `seconds`. */
export function mlFromSeconds(seconds: number, mlPerS: number): number {
  return seconds * mlPerS;
}

/** Seconds the pump must run for `ml`. */
export function secondsFromMl(ml: number, mlPerS: number): number {
  return ml / mlPerS;
}

/**
 * Rate of the pump from runs onto the scale, by the gravimetric method of ISO 8655-6: volume is
 * the reading times the Z factor; the rate is the mean of the runs'. At least two runs, each of at
 * least `PUMP_SHORTEST_RUN_S` and with a gain.
 */
export function calibratePump(
  runs: readonly PumpRun[],
  waterC = USUAL_WATER_C,
  airKgM3 = ROOM_AIR_KG_M3,
): Verdict<PumpCalibration> {
  if (runs.length < 2) {
    return decline('One run does not show how steady the pump is. Make at least two.');
  }
  const rates: number[] = [];
  for (const run of runs) {
    if (!(run.ranS >= PUMP_SHORTEST_RUN_S)) {
      return decline(
        `A run of ${run.ranS} s is too short. Run the pump ${PUMP_SHORTEST_RUN_S} s or more.`,
      );
    }
    if (!(run.gainedG > 0) || !Number.isFinite(run.gainedG)) {
      return decline(
        'The scale gained nothing in one of the runs. Prime the pump, check that the tube ends ' +
          'over the tray and the reservoir is not empty, then start again.',
      );
    }
    rates.push((run.gainedG * zFactorMlPerG(waterC, airKgM3)) / run.ranS);
  }
  const { mean, cvPercent } = meanAndCv(rates);
  return accept({ mlPerS: mean, cvPercent });
}

/** Mean, and coefficient of variation in per cent (sample standard deviation over mean). */
export function meanAndCv(values: readonly number[]): { mean: number; cvPercent: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, cvPercent: (100 * Math.sqrt(squares / (values.length - 1))) / mean };
}

/** Systematic error of doses, per cent of what was asked for: 100 (mean - set) / set (ISO 8655-6). */
export function systematicErrorPercent(meanMl: number, setMl: number): number {
  return (100 * (meanMl - setMl)) / setMl;
}

/** What a new rate says about the tube, seen from the last accepted one. */
export function pumpDrift(oldMlPerS: number, newMlPerS: number): 'steady' | 'ageing' | 'worn-out' {
  const share = Math.abs(newMlPerS - oldMlPerS) / oldMlPerS;
  if (!(share < PUMP_DRIFT.replace)) return 'worn-out';
  return share < PUMP_DRIFT.warn ? 'steady' : 'ageing';
}
