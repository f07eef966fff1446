/**
 * Plants on the scale: what the tray gains from one time at container capacity to the next is plants, not
 * water. Between two of them growth goes on at the pace of the last; before the second one it is what
 * transplants of that age usually weigh, and a guess. Pure.
 */
import { GROWTH_LIMITS as LIMITS } from '../limits';

export interface Growth {
  /** Pace between the last two times at capacity, g/ms; 0 while unknown. */
  readonly gPerMs: number;
  /** Gained until the last of them, g. */
  readonly plantsG: number;
}

/** The plants by what is known without weighing them. */
export interface Stand {
  readonly pieces: number;
  /** Volume of one piece, ml. */
  readonly pieceMl: number;
  /** Since emergence, ms; NaN before it. */
  readonly ageMs: number;
}

/** What the plants have gained, and by how much that may be off, both g. */
export interface Grown {
  readonly g: number;
  readonly offG: number;
}

/** What the plants have gained since capacity was taken `sinceMs` ago, on a tray of so much water, g. */
export function grown({ gPerMs }: Growth, stand: Stand, sinceMs: number, waterG: number): Grown {
  if (!Number.isFinite(sinceMs)) return NOTHING_GROWN;
  const weighed = gPerMs !== 0;
  const guessG = weighed ? gPerMs * sinceMs : usualGainG(stand, sinceMs);
  const g = Math.min(guessG, LIMITS.mostShare * waterG);
  return { g, offG: g * (weighed ? LIMITS.weighedOffShare : LIMITS.usualOffShare) };
}

export const NOTHING_GROWN: Grown = { g: 0, offG: 0 };

/** What usual plants of this age have gained in the last `sinceMs`, g for all pieces. */
function usualGainG({ pieces, pieceMl, ageMs }: Stand, sinceMs: number): number {
  if (!(ageMs > 0)) return 0;
  const before = Math.max(0, ageMs - sinceMs);
  return pieces * (usualG(ageMs, pieceMl) - usualG(before, pieceMl));
}

/** Fresh mass of a usual plant, g: it doubles every few days until its piece holds no more root. */
function usualG(ageMs: number, pieceMl: number): number {
  const doublings = (ageMs - LIMITS.usualAgeMs) / LIMITS.doublesInMs;
  return Math.min(LIMITS.usualG * 2 ** doublings, LIMITS.usualMostGPerMl * pieceMl);
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
  if (!(gainG >= -LIMITS.lessShare * waterG) || gainG > LIMITS.mostShare * waterG) return null;
  // Plants that have stood still were weighed as well: no guess takes their place.
  const g = Math.max(gainG, LIMITS.leastG);
  return { gPerMs: g / sinceMs, plantsG: before.plantsG + g };
}
