/**
 * Plants on the scale: what the tray gains from one time at container capacity to the next is plants, not
 * water. Between two of them growth goes on at the pace of the last; before the second one it is what
 * transplants of that age usually weigh, and a guess. Pure.
 */
import { GROWTH_LIMITS as LIMITS } from '../limits';
import { usualPlant, usualStandG } from './usual-plants';

export interface Growth {
  /** Pace between the last two times at capacity, g/ms; 0 while unknown. */
  readonly gPerMs: number;
  /** Gained until the last of them, g. */
  readonly plantsG: number;
}

/** The known weights, as far as a new container capacity changes them: see `KnownWeights`. */
export interface Weighed {
  readonly capacityG: number;
  readonly dryG: number;
  readonly sinceSoakedMs: number;
  readonly growthGPerMs: number;
  readonly plantsG: number;
}

/** The plants by what is known without weighing them. */
export interface Stand {
  readonly crop: string;
  /** Sown in so many pieces; what stands now, 0 before sowing. */
  readonly sownPieces: number;
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
  const mostG = LIMITS.mostShare * waterG;
  if (weighed) {
    const g = Math.min(gPerMs * sinceMs, mostG);
    return { g, offG: g * LIMITS.weighedOffShare };
  }
  // Emergence is marked days after the first are up.
  if (Number.isNaN(stand.ageMs)) return { g: 0, offG: Math.min(upUnmarkedG(stand), mostG) };
  const g = Math.min(usualGainG(stand, sinceMs), mostG);
  return { g, offG: g * LIMITS.usualOffShare };
}

export const NOTHING_GROWN: Grown = { g: 0, offG: 0 };

/** What may be up before anybody has marked it, g. */
function upUnmarkedG({ crop, pieces }: Stand): number {
  return pieces * usualPlant(crop).firstG * LIMITS.unmarkedTimes;
}

/** What usual plants of this age have gained in the last `sinceMs`, g for all pieces. */
function usualGainG(stand: Stand, sinceMs: number): number {
  const { crop, pieces, sownPieces, pieceMl, ageMs } = stand;
  const plant = usualPlant(crop);
  const sownG = sownPieces * plant.firstG;
  const beforeMs = ageMs - sinceMs;
  // Capacity was taken of bare wool: the seedlings that came up since are gained as well.
  const beforeG = beforeMs > 0 ? usualStandG(plant, sownG, beforeMs) * (pieces / sownPieces) : 0;
  const fromG = beforeMs > 0 ? beforeG : pieces * plant.firstG;
  const nowG = usualStandG(plant, fromG, Math.min(ageMs, sinceMs));
  const mostG = pieces * pieceMl * LIMITS.usualMostGPerMl;
  return Math.max(0, Math.min(nowG, mostG) - beforeG);
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

function learntBy(before: Weighed, capacityG: number): Growth | null {
  const growth = { gPerMs: before.growthGPerMs, plantsG: before.plantsG };
  const waterG = before.capacityG - before.dryG;
  return learnt(growth, capacityG - before.capacityG, before.sinceSoakedMs, waterG);
}

/**
 * The weights of a tray that stands soaked and drained at `capacityG`, which `dryG` goes with. What the same
 * pieces hold more than the last time is plants, and no water: a dry weight that was weighed (`dryWeighed`) keeps
 * its range.
 */
export function soakedWeights(
  before: Weighed,
  dryWeighed: boolean,
  capacityG: number,
  dryG: number,
): Weighed {
  const growth = learntBy(before, capacityG);
  const gainG = capacityG - before.capacityG;
  return {
    capacityG,
    dryG: growth === null || !dryWeighed ? dryG : dryG + gainG,
    sinceSoakedMs: 0,
    growthGPerMs: growth?.gPerMs ?? 0,
    plantsG: growth?.plantsG ?? before.plantsG,
  };
}

/**
 * The same of a tray that was watered until it drained, without a word from the grower; null when it weighs less
 * than the last time, or too much too soon: water ran past dry wool, and it is not full.
 */
export function drainedWeights(before: Weighed, capacityG: number): Weighed | null {
  if (learntBy(before, capacityG) === null) return null;
  return soakedWeights(before, true, capacityG, before.dryG);
}
