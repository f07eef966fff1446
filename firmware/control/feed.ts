/** The feed in the reservoir against the one a stage wants. Pure. */
import { SALTS_MG_L_PER_MS } from '../../shared/physics/feed';
import { FEED_LIMITS as LIMITS } from '../limits';

/**
 * Whether feed of `ec` is other than a stage wants, both in mS/cm at 25 C. Unknown feed (NaN) is no other
 * feed, and a stage that wants none (0) takes any.
 */
export function isOtherFeed(ec: number, wantedEc: number): boolean {
  if (Number.isNaN(ec) || wantedEc === 0) return false;
  return Math.abs(ec - wantedEc) > Math.max(LIMITS.sameEc, LIMITS.sameShare * wantedEc);
}

/** Dissolved salts in `ml` of feed, mg. */
export function saltsMg(ml: number, ec: number): number {
  return (ml / 1000) * ec * SALTS_MG_L_PER_MS;
}
