/**
 * Plants on the scale: what the tray gains from one time at container capacity to the next is plants, not
 * water. Between two of them growth goes on at the pace of the last. Pure.
 */
import { GROWTH_LIMITS as LIMITS } from '../limits';

export interface Growth {
  /** Pace between the last two times at capacity, g/ms; 0 while unknown. */
  readonly gPerMs: number;
  /** Gained until the last of them, g. */
  readonly plantsG: number;
}

/** What the plants have gained since capacity was taken `sinceMs` ago, g, on a tray of so much water, g. */
export function grownG({ gPerMs }: Growth, sinceMs: number, waterG: number): number {
  if (gPerMs === 0 || !Number.isFinite(sinceMs)) return 0;
  return Math.min(gPerMs * sinceMs, LIMITS.mostShare * waterG);
}

/**
 * Growth after a new container capacity, `gainG` above the one of `sinceMs` ago; null when that is no
 * growth (too soon, or more or less than plants gain): then the new weights stand for themselves.
 */
export function learnt(
  before: Growth,
  gainG: number,
  sinceMs: number,
  waterG: number,
): Growth | null {
  if (!(sinceMs >= LIMITS.leastMs) || !Number.isFinite(sinceMs)) return null;
  if (!(gainG >= 0) || gainG > LIMITS.mostShare * waterG) return null;
  return { gPerMs: gainG / sinceMs, plantsG: before.plantsG + gainG };
}
