/** The curve that each probe is read by from a start on, and what the limiter is told of it. */
import { type OfProbes, ofProbes, PROBES, type ProbeName } from '../../shared/board/probes';
import type { CurveInForce } from '../../shared/link/methods';
import { coefficientsOf, hotCodeOf, unfitCurve, windowOf } from '../../shared/physics/probe-curve';
import type { Board } from '../board';
import type { CalibrationStore, KeptCurve } from './calibrations';

/**
 * What is kept of a probe as a curve; `number`: how often one was told, as far as the run state knows. What is older
 * than that, or is no curve by this firmware, is lost.
 */
export function toldCurve(kept: KeptCurve | null, number: number): CurveInForce {
  if ((kept?.number ?? 0) < number) return 'lost';
  if (kept === null || Number.isNaN(kept.at25Ohm)) return 'reference';
  const { at0Ohm, at25Ohm, at50Ohm } = kept;
  const curve = { at0Ohm, at25Ohm, at50Ohm };
  return unfitCurve(curve) === null ? curve : 'lost';
}

/**
 * The curves in force from this start on, told to the limiter of `board`. A curve that the limiter does not take, or that
 * is lost, leaves the mat off until the next start, whatever is asked of it.
 */
export function openCurves(
  board: Board,
  calibrations: CalibrationStore,
  numberOf: (name: ProbeName) => number,
): OfProbes<CurveInForce> {
  return ofProbes((name) => {
    const curve = toldCurve(calibrations.curve(name), numberOf(name));
    return isLimited(board, name, curve) ? curve : 'lost';
  });
}

/** Whether the limiter goes by that curve now. */
function isLimited(board: Board, name: ProbeName, curve: CurveInForce): boolean {
  const { channel, limiter } = PROBES[name];
  if (curve === 'reference' || limiter === null) return true;
  // No codes at all: the limiter has nothing to go by, and lets no heat on.
  if (curve === 'lost') return board.limitProbe(channel, 0, 0, 0);
  const coefficients = coefficientsOf(curve);
  const { openCode, shortCode } = windowOf(coefficients);
  return board.limitProbe(channel, hotCodeOf(coefficients, limiter.hotC), openCode, shortCode);
}
