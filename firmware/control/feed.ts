/** The feed in the reservoir against the one a stage wants. Pure. */
import { SALTS_MG_L_PER_MS } from '../../shared/physics/feed';
import type { Stage } from '../../shared/profile/profile';
import { FEED_LIMITS as LIMITS } from '../limits';

/**
 * Whether feed of `ec` is other than a stage wants, both in mS/cm at 25 C. Unknown feed (NaN) is no other
 * feed, and a stage that wants none (0) takes any.
 */
export function isOtherFeed(ec: number, wantedEc: number): boolean {
  if (Number.isNaN(ec) || wantedEc === 0) return false;
  return Math.abs(ec - wantedEc) > Math.max(LIMITS.sameEc, LIMITS.sameShare * wantedEc);
}

/**
 * For how long a stage still waits for its own feed, ms: a while from its start on, and from a refill with another one
 * (`sinceFilledMs`, NaN without), which may be a mistake. Plants do not wait for ever.
 */
export function feedWaitMs(stageRunMs: number, sinceFilledMs: number): number {
  const sinceMs = Number.isNaN(sinceFilledMs) ? stageRunMs : Math.min(stageRunMs, sinceFilledMs);
  return Math.max(0, LIMITS.graceMs - sinceMs);
}

/** Whether a reservoir with `leftMl` in it (null: nobody knows) explains that a dose of `stage` did not come. */
export function isTooLittleForDose(leftMl: number | null, stage: Stage | null): boolean {
  const doseMl = Math.max(stage?.watering?.doseMl ?? 0, stage?.rescue.doseMl ?? 0);
  return leftMl !== null && leftMl < doseMl;
}

/** Dissolved salts in `ml` of feed, mg. */
export function saltsMg(ml: number, ec: number): number {
  return (ml / 1000) * ec * SALTS_MG_L_PER_MS;
}
