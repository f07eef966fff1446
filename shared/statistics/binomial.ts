/**
 * How many of the seeds sown come up, when each does so by itself with the same chance: the binomial distribution,
 * summed exactly. Seeds of one lot under one lid do nearly that; what strikes a whole tray (cold, wet, damping off)
 * is no matter of chance and is not in it.
 */
import { accept, decline, type Verdict } from '../physics/verdict';
import { lnChoose } from './log-factorial';

/** What a sowing can ask for. */
export const SOWING_LIMITS = {
  /** More plants than this is a nursery's plan, not that of a few trays. */
  plantsMost: 100_000,
  /** Below, seed is too poor to be planned with: a reason to buy other seed. */
  germinationLeast: 0.01,
  /** No certainty is whole. Five nines are more than a germination figure is worth. */
  certaintyMost: 0.99999,
} as const;

/** Chances that differ by less are the same: 0.95 of one seed is met by one seed. */
const SAME_CHANCE = 1e-12;

/** A share in per cent, without the digits that floating point adds. */
const percent = (share: number): string => `${Number((share * 100).toFixed(3))} %`;

/** Chance that exactly `k` of `n` seeds come up, each with chance `p`, 0..1. */
export function binomialChance(n: number, p: number, k: number): number {
  if (k < 0 || k > n) return 0;
  if (p <= 0) return k === 0 ? 1 : 0;
  if (p >= 1) return k === n ? 1 : 0;
  return Math.exp(lnChoose(n, k) + k * Math.log(p) + (n - k) * Math.log1p(-p));
}

/** Chance that `k` or more of `n` seeds come up, each with chance `p`, 0..1. */
export function chanceOfAtLeast(n: number, p: number, k: number): number {
  if (k <= 0) return 1;
  if (k > n || p <= 0) return 0;
  if (p >= 1) return 1;
  // The shorter tail is summed, away from the peak: its terms fall from the first one on.
  return k > n * p ? tailUp(n, p, k) : 1 - tailDown(n, p, k - 1);
}

function tailUp(n: number, p: number, from: number): number {
  const odds = p / (1 - p);
  let term = binomialChance(n, p, from);
  let sum = 0;
  for (let k = from; k <= n && sum + term !== sum; k++) {
    sum += term;
    term *= ((n - k) / (k + 1)) * odds;
  }
  return sum;
}

function tailDown(n: number, p: number, from: number): number {
  const odds = (1 - p) / p;
  let term = binomialChance(n, p, from);
  let sum = 0;
  for (let k = from; k >= 0 && sum + term !== sum; k--) {
    sum += term;
    term *= (k / (n - k + 1)) * odds;
  }
  return sum;
}

/**
 * Fewest seeds to sow so that `plants` or more stand with at least the chance `certainty`, when a share
 * `germination` of the seed comes up and stands. Refuses what no seed can do, with the range allowed.
 * Sedcole 1977, Crop Science 17:667, asks the same.
 */
export function seedsFor(plants: number, germination: number, certainty: number): Verdict<number> {
  const { plantsMost, germinationLeast, certaintyMost } = SOWING_LIMITS;
  if (!(Number.isInteger(plants) && plants >= 1 && plants <= plantsMost)) {
    return decline(`Plants wanted: a whole number from 1 to ${plantsMost}.`);
  }
  if (!(germination >= germinationLeast && germination <= 1)) {
    return decline(
      `Germination: from ${percent(germinationLeast)} to 100 %. Poorer seed cannot be planned with.`,
    );
  }
  if (!(certainty > 0 && certainty <= certaintyMost)) {
    return decline(
      `Certainty: more than 0 %, and ${percent(certaintyMost)} at most. Nothing is wholly certain.`,
    );
  }
  const enough = (seeds: number): boolean =>
    chanceOfAtLeast(seeds, germination, plants) >= certainty - SAME_CHANCE;
  let tooFew = plants - 1;
  let plenty = plants;
  while (!enough(plenty)) {
    tooFew = plenty;
    plenty *= 2;
  }
  while (plenty - tooFew > 1) {
    const middle = Math.floor((tooFew + plenty) / 2);
    if (enough(middle)) plenty = middle;
    else tooFew = middle;
  }
  return accept(plenty);
}

/** Plants that `seeds` give with at least the chance `certainty`: the most that can be counted on, perhaps none. */
export function plantsFrom(seeds: number, germination: number, certainty: number): number {
  let sure = 0;
  let tooMany = seeds + 1;
  while (tooMany - sure > 1) {
    const middle = Math.floor((sure + tooMany) / 2);
    if (chanceOfAtLeast(seeds, germination, middle) >= certainty - SAME_CHANCE) sure = middle;
    else tooMany = middle;
  }
  return sure;
}
