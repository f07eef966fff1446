/** Whether two lots differ by more than chance: Fisher's exact test (Fisher 1935, The Design of Experiments). */
import { lnChoose } from './log-factorial';

/** So many of so many. */
export interface Counted {
  readonly found: number;
  readonly of: number;
}

/** Chances that differ by less than this part are the same one, as in the usual programs for this test. */
const SAME_PART = 1e-7;

/**
 * Chance, 0..1, that two lots of the same germination give counts as far apart as these or further: two-sided, all
 * tables that are no likelier than the one seen. 1 where nothing was counted.
 */
export function fisherChance(a: Counted, b: Counted): number {
  const found = a.found + b.found;
  const of = a.of + b.of;
  const lnAll = lnChoose(of, found);
  const chanceOf = (inA: number): number =>
    Math.exp(lnChoose(a.of, inA) + lnChoose(b.of, found - inA) - lnAll);
  const seen = chanceOf(a.found) * (1 + SAME_PART);
  let sum = 0;
  for (let inA = Math.max(0, found - b.of); inA <= Math.min(a.of, found); inA++) {
    const chance = chanceOf(inA);
    if (chance <= seen) sum += chance;
  }
  return Math.min(1, sum);
}
