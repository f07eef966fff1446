/** What the board says of the water in a tray, beside what is really in its wool. */
import { expect } from 'vitest';
import type { Grower } from './grower';

/** Dry-back by what is really in the wool. */
export function trueDryBack({ bench }: Grower): number {
  const { wool } = bench.rig.plant;
  return 1 - wool.heldG / wool.capacityG;
}

/** Told within so many points of the truth. */
const POINTS = 0.03;

export function expectToldTruly(grower: Grower): void {
  expect(grower.status().water.dryBackShare).toBeGreaterThan(trueDryBack(grower) - POINTS);
  expect(grower.status().water.dryBackShare).toBeLessThan(trueDryBack(grower) + POINTS);
}
