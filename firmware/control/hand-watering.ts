/** Water by hand, as the weight tells it: what a hand left behind, and what shows only later to have been poured. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { hasDrained } from './drainage';
import { foreignG, type Ledger, pouredG } from './ledger';

/** When the tray was last watered by hand, as far as it matters to what drains. */
export interface HandWatered {
  /** Since then, ms; infinite when it never was. */
  readonly sinceWateredMs: number;
  /** It may run out from now on, down to container capacity. */
  readonly watered: boolean;
}

/** A hand is over. */
export interface HandOver {
  /** What the weight rose by, as read, g: more than the wool can hold is taken for a thing, until it runs out. */
  readonly roseG: number;
  /** The weight moved gently, as water moves it. */
  readonly gentle: boolean;
}

/**
 * After a hand that is over. A rise as large as a hand makes is water from now on; a little one is a mist, which has run
 * off sooner. What moved gently on a tray that drains still is draining.
 */
export function afterHand(
  sinceSoakedMs: number,
  sinceWateredMs: number,
  { roseG, gentle }: HandOver,
): HandWatered {
  if (roseG > LIMITS.handlingG) return { sinceWateredMs: 0, watered: true };
  const mistedMs = LIMITS.drainMs - LIMITS.mistDrainMs;
  const sinceMs = roseG > LIMITS.mistG ? Math.min(sinceWateredMs, mistedMs) : sinceWateredMs;
  return { sinceWateredMs: sinceMs, watered: gentle && !hasDrained(sinceSoakedMs, sinceMs) };
}

/** Whether the ledger takes so much more for poured than before that it drains from now on. */
export function hasBeenPoured(before: Ledger, now: Ledger): boolean {
  return pouredG(now) - pouredG(before) > LIMITS.handlingG;
}

/** Whether it takes something for water that it did not, or the other way round: that is no rise, and no fall. */
export function isRebooked(before: Ledger, now: Ledger): boolean {
  return foreignG(now) !== foreignG(before);
}
