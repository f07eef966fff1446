/**
 * What the pump gives, as a share of its calibration: each proved dose weighs it anew. Small bounded
 * steps, kept apart from the grower's calibration, so that wear and air in the tube show as a trend. Pure.
 */
import { PUMP_TRIM_LIMITS as LIMITS } from '../limits';

/**
 * Next share after a dose of `plannedMl` that was seen to bring `gainedG`, `driedG` of it made good what
 * dried meanwhile. `noiseG` is the scale's: a dose that hardly rises above it teaches nothing.
 */
export function nextPumpShare(
  share: number,
  expectedG: number,
  gainedG: number,
  driedG: number,
  noiseG: number,
): number {
  if (!(expectedG >= LIMITS.noiseTimes * noiseG) || !(expectedG > 0)) return share;
  const offShare = (gainedG + driedG) / expectedG - 1;
  if (Number.isNaN(offShare)) return share;
  const step = Math.max(-LIMITS.stepMax, Math.min(LIMITS.stepMax, offShare * LIMITS.learnShare));
  return Math.max(LIMITS.least, Math.min(LIMITS.most, share * (1 + step)));
}
