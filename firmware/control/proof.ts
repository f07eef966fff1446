/** What the scale says of a dose that was given, and how many may go by without its word. Pure. */
import type { DoseReason, DoseVerdict } from '../../shared/journal/kinds';
import { WATER_LIMITS as LIMITS, WEIGHT_LIMITS } from '../limits';

/**
 * Whether a gain proves a dose of `expectedG`: within 70..130 %, and clearly above the scale's noise.
 * `noiseG` is the standard deviation of single codes of the scale, so more than the weight's own.
 * What the tray has dried by meanwhile, `driedG`, is let off the lower end; but no heavier than before
 * it proves nothing.
 */
export function judgeGain(
  gainedG: number,
  expectedG: number,
  noiseG: number,
  driedG: number,
): DoseVerdict {
  const leastG = Math.max(expectedG * LIMITS.gainMinShare, LIMITS.gainNoiseSigmas * noiseG);
  // The other way round, so that a gain nobody knows is not seen either.
  if (gainedG <= 0 || !(gainedG >= leastG - driedG)) return 'not-seen';
  return gainedG > expectedG * LIMITS.gainMaxShare + LIMITS.gainNoiseSigmas * noiseG
    ? 'too-large'
    : 'seen';
}

/** A dose that was weighed, all g. */
interface Weighed {
  readonly expectedG: number;
  /** By how much the tray is heavier than before it; and was at most, meanwhile. */
  readonly gainedG: number;
  readonly cameG: number;
  readonly driedG: number;
  readonly noiseG: number;
  /** The tray as it is weighed now, without things; the weight from which on it may be full; and the things. */
  readonly grams: number;
  readonly fullG: number;
  readonly thingsG: number;
}

/**
 * What the scale says of a dose. One that came and ran out again, or some of it, was seen, if the tray is full. If it would be
 * with what is taken for things, one of them may be water, or gone: that is no proof, and none that the dose was lost.
 */
export function judgeDose(dose: Weighed): {
  readonly verdict: DoseVerdict;
  readonly drained: boolean;
} {
  const { expectedG, gainedG, cameG, driedG, noiseG, grams, fullG, thingsG } = dose;
  const verdict = judgeGain(gainedG, expectedG, noiseG, driedG);
  const ranOffG = cameG - gainedG - driedG;
  const leastG = Math.max(LIMITS.ranOffShare * expectedG, LIMITS.gainNoiseSigmas * noiseG);
  if (verdict === 'seen') return { verdict, drained: ranOffG > leastG && grams >= fullG };
  const ranOut = verdict === 'not-seen' && judgeGain(cameG, expectedG, noiseG, 0) === 'seen';
  if (ranOut && grams >= fullG) return { verdict: 'seen', drained: true };
  if (ranOut && grams + thingsG >= fullG) return { verdict: 'unproved', drained: true };
  return { verdict, drained: false };
}

/**
 * For how long at a stretch a dose of `expectedG` has shown on the scale as it soaks in, ms: `dtMs` more at `gainedG`. What has
 * come once stays so, whatever a hand puts on it or takes off then.
 */
export function shownFor(
  shownMs: number,
  gainedG: number,
  expectedG: number,
  noiseG: number,
  dtMs: number,
): number {
  if (hasCome(shownMs)) return shownMs;
  return judgeGain(gainedG, expectedG, noiseG, 0) === 'seen' ? shownMs + dtMs : 0;
}

/** A dose that has shown for so long has come: what became of it is another question. */
export function hasCome(shownMs: number): boolean {
  return shownMs >= LIMITS.shownMs;
}

/** Doses that went by without the scale's word, each 0..`unprovedMax - 1`. */
export interface Unproved {
  /** In a row: nobody could weigh them, or saw them come. */
  readonly unproved: number;
  /** Since one was seen: they came, and ran off a tray of which nobody knows whether it was full. */
  readonly ranOff: number;
}

export interface ProofStep extends Unproved {
  readonly alarm: 'dose-not-seen' | 'dose-too-large' | null;
}

/**
 * What a dose's verdict means for the next. One that nobody could weigh (a hand, a power cut, a scale
 * that fails whenever the pump runs) is chance; two in a row would be repeated for ever. One that `drained`
 * unproved was seen to come: that clears those, and only a second one of its own kind says that water is lost.
 * One that `came` before a hand spoiled it clears them as well, and is no doubt of any kind.
 * The grower's own stop (`byHand`) tells nothing either way, nor does a run of the pump by hand.
 */
export function nextProof(
  { unproved, ranOff }: Unproved,
  dose: {
    readonly reason: DoseReason;
    readonly verdict: DoseVerdict;
    readonly drained: boolean;
    readonly came: boolean;
  },
  byHand: boolean,
): ProofStep {
  const { reason, verdict } = dose;
  const asBefore: ProofStep = { unproved, ranOff, alarm: null };
  if (reason === 'prime' || reason === 'calibrate') return asBefore;
  switch (verdict) {
    case 'seen':
      return anew(null);
    case 'too-large':
      return anew('dose-too-large');
    case 'not-seen':
      return anew('dose-not-seen');
    default: {
      if (byHand) return asBefore;
      if (dose.came) return { unproved: 0, ranOff, alarm: null };
      const next: ProofStep = dose.drained
        ? { unproved: 0, ranOff: ranOff + 1, alarm: null }
        : { unproved: unproved + 1, ranOff, alarm: null };
      const isChance = Math.max(next.unproved, next.ranOff) < LIMITS.unprovedMax;
      return isChance ? next : anew('dose-not-seen');
    }
  }
}

/**
 * How many ran off that are a doubt still: they were one about what was taken for things then, `thenG`. Where that is `nowG`
 * now it is another.
 */
export function ranOffStill(ranOff: number, thenG: number, nowG: number): number {
  return Math.abs(nowG - thenG) <= WEIGHT_LIMITS.matchG ? ranOff : 0;
}

/** The scale has spoken, or the pump stops: the next ones count from the first. */
const anew = (alarm: ProofStep['alarm']): ProofStep => ({ unproved: 0, ranOff: 0, alarm });
