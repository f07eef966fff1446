/**
 * What the pump gives, as a share of its calibration: each proved dose weighs it anew. Small bounded
 * steps, kept apart from the grower's calibration, so that wear and air in the tube show as a trend. Pure.
 */
import { PUMP_TRIM_LIMITS as LIMITS } from '../limits';

/** What the doses say of the pump. */
export interface PumpTrim {
  /** What it gives, as a share of its calibration; 1 at first. */
  readonly share: number;
  /** By how much a dose is usually off that, as a share; 0 at first. */
  readonly scatter: number;
}

/**
 * Next trim after a dose expected to weigh `expectedG` that was seen to bring `gainedG`; `driedG` of it made good
 * what dried meanwhile. `noiseG` is the scale's: a dose that hardly rises above it teaches nothing.
 */
export function nextPumpTrim(
  { share, scatter }: PumpTrim,
  expectedG: number,
  gainedG: number,
  driedG: number,
  noiseG: number,
): PumpTrim {
  const offShare = (gainedG + driedG) / expectedG - 1;
  const tells = expectedG >= LIMITS.noiseTimes * noiseG && expectedG > 0;
  if (!tells || Number.isNaN(offShare)) return { share, scatter };
  const step = Math.max(-LIMITS.stepMax, Math.min(LIMITS.stepMax, offShare * LIMITS.learnShare));
  return {
    share: Math.max(LIMITS.least, Math.min(LIMITS.most, share * (1 + step))),
    scatter: scatter + (Math.min(1, Math.abs(offShare)) - scatter) * LIMITS.learnShare,
  };
}

/** Whether tube, feed or calibration are worth a look; `before`: whether they were until now. */
export function isPumpOff({ share, scatter }: PumpTrim, before: boolean): boolean {
  const backShare = before ? LIMITS.backShare : 0;
  return (
    Math.abs(share - 1) >= LIMITS.offShare - backShare || scatter >= LIMITS.scatterShare - backShare
  );
}
