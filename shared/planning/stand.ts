/** What a count of plants means for a batch. Pure. */
import { chanceOfAtLeast, seedsFor } from '../statistics/binomial';
import { STEPS } from './limits';
import type { SeedNeed } from './needs';
import type { Happened, PlanRequest } from './request';

/** What a count of plants means for the batch. */
export interface Stand {
  readonly counted: number;
  /** Seeds that were sown for them. */
  readonly of: number;
  /** Plants that are missing to those wanted with the spare ones; 0 for none. */
  readonly missing: number;
  /** Seeds to sow at once for them, with the certainty of the plan. */
  readonly seeds: number;
  /** Chance, 0..1, that so few or fewer come of seed as good as was said: little is no chance. */
  readonly luck: number;
}

/** Null before there is a count that tells how many there will be. */
export function standOf(
  { certainty }: PlanRequest,
  { plants, germination, seeds }: SeedNeed,
  { counted, emerged }: Happened,
): Stand | null {
  // Half of it up is no stand yet.
  const early =
    counted !== null && emerged !== null && counted.day < emerged + STEPS.countAfterEmergence;
  if (counted === null || early) return null;
  const sown = counted.of ?? seeds;
  const missing = Math.max(0, plants - counted.plants);
  const again = missing === 0 ? null : seedsFor(missing, germination, certainty);
  return {
    counted: counted.plants,
    of: sown,
    missing,
    seeds: again?.ok ? again.value : 0,
    luck: 1 - chanceOfAtLeast(sown, germination, counted.plants + 1),
  };
}
