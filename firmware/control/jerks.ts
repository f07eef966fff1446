/**
 * What hands do at once on a scale that trembles: its readings jerk by themselves, and hands' jerks are lost among them. Means
 * of some seconds do not, and no water moves them as fast as a hand does. Pure.
 */
import { SECOND_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import type { TremblingInput } from './trembling';

/** Means of some seconds each. What a hand does is weighed within two of them: the third from then on stands beyond it. */
export interface Moments {
  /** The last three, the oldest first, g. */
  readonly thirdG: number;
  readonly secondG: number;
  readonly lastG: number;
  /** The one that is being found: since when, and of how many readings, g in sum. */
  readonly sinceMs: number;
  readonly readings: number;
  readonly sumG: number;
}

/** Means that one comes after the other, from the first to the last that are compared. */
const MEANS_APART = 3;

/** It is followed from this reading on: what came before tells nothing. */
export const momentsFrom = (grams: number, sinceMs: number): Moments => ({
  thirdG: grams,
  secondG: grams,
  lastG: grams,
  sinceMs,
  readings: 0,
  sumG: 0,
});

/** Least that a hand has to do at once to be told from noise, and from water that flows for so long meanwhile, g. */
const leastJerkG = (noisyG: number, meanMs: number): number =>
  LIMITS.noisyJumpSigmas * noisyG + LIMITS.flowsMostGPerS * ((MEANS_APART * meanMs) / SECOND_MS);

/** Whether so much, all of it done at once, would surely have been told from noise of `noisyG`: twice as far beyond that. */
export const wouldJerk = (changeG: number, noisyG: number): boolean =>
  Math.abs(changeG) > leastJerkG(2 * noisyG, LIMITS.jerkMeanMs);

/** The next reading, and what hands are seen to have done at once by now, and were not before, g: 0 as a rule. */
export function nextMoments(
  { thirdG, secondG, lastG, sinceMs, readings, sumG }: Moments,
  { grams, noisyG, uptimeMs }: TremblingInput,
): { readonly moments: Moments; readonly jerkG: number } {
  const nextSumG = sumG + grams;
  const meanMs = uptimeMs - sinceMs;
  if (meanMs < LIMITS.jerkMeanMs) {
    const moments = { thirdG, secondG, lastG, sinceMs, readings: readings + 1, sumG: nextSumG };
    return { moments, jerkG: 0 };
  }
  const meanG = nextSumG / (readings + 1);
  const movedG = meanG - thirdG;
  // What was told is not told again.
  if (Math.abs(movedG) > leastJerkG(noisyG, meanMs))
    return { moments: momentsFrom(meanG, uptimeMs), jerkG: movedG };
  const moments = { thirdG: secondG, secondG: lastG, lastG: meanG, sinceMs: uptimeMs };
  return { moments: { ...moments, readings: 0, sumG: 0 }, jerkG: 0 };
}
