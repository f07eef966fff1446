/**
 * The weight on a scale that trembles: its mean, how well that is known, and what the tray itself does meanwhile. A mean is
 * no truer than its noise: what it does within that is nothing, and the tray dries as it did. Pure.
 */
import { HOUR_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { type Moments, momentsFrom, nextMoments } from './jerks';

export interface Trembling {
  /** Mean weight over the last seconds, g: what flows slowly is never far from it, what jumps is. */
  readonly nearG: number;
  /** Mean weight since the last jump, g, and its variance, g². */
  readonly meanG: number;
  readonly offG2: number;
  /** What the tray weighs by what was believed of it: the mean when it was found, and what has dried since, g. */
  readonly stoodG: number;
  /** Uptime of the last jump, ms. */
  readonly jumpedMs: number;
  /** The mean as it was found, or as water was last seen to be the tray's own; and what that has lost since, as was reckoned, g. */
  readonly foundG: number;
  readonly lostG: number;
  /** Its means of some seconds each, by which a hand's jerk is told. */
  readonly moments: Moments;
}

/** One reading of such a scale. */
export interface TremblingInput {
  readonly grams: number;
  /** Standard deviation of single codes, g. */
  readonly noisyG: number;
  readonly uptimeMs: number;
  /** Since the last one, ms. */
  readonly dtMs: number;
}

/** The state after a reading, and what came of it. */
export interface TremblingStep {
  readonly state: Trembling;
  /** What the tray itself has gained since the last reading, no hand's doing, g: less than nothing as it dries. */
  readonly slowG: number;
  /** How fast the tray dries, g/ms. */
  readonly driesGPerMs: number;
  /**
   * The mean that it jumps away from now, or at which it has rested for an hour now, g: what hands had done before is over.
   * Null where neither is so, or its mean was not found yet.
   */
  readonly restedG: number | null;
  /** What hands are seen to have done at once by now, and were not before, g. */
  readonly jerkG: number;
}

/** Share of a weight in the mean of a scale that trembles. */
export const meanShare = (dtMs: number): number => Math.min(1, dtMs / LIMITS.noisyMeanMs);

/** It begins to tremble, or has just jumped: a mean of one weight. */
export function beginsToTremble(
  { grams, noisyG, uptimeMs }: TremblingInput,
  jumpedMs = uptimeMs,
  moments = momentsFrom(grams, uptimeMs),
): Trembling {
  return {
    nearG: grams,
    meanG: grams,
    offG2: noisyG * noisyG,
    stoodG: grams,
    jumpedMs,
    foundG: grams,
    lostG: 0,
    moments,
  };
}

/** It trembles, and has just moved away from its mean, `fromG`: that far a hand may have moved it already. */
export const movesTrembling = (input: TremblingInput, fromG: number): Trembling =>
  beginsToTremble(input, input.uptimeMs, momentsFrom(fromG, input.uptimeMs));

/** Each weight counts for as much as the mean is not known better, and for no less than its share of the last minutes. */
function nextMean({ meanG, offG2 }: Trembling, { grams, noisyG, dtMs }: TremblingInput) {
  const noiseG2 = noisyG * noisyG;
  const leastShare = meanShare(dtMs);
  const share = Math.max(leastShare, offG2 / (offG2 + noiseG2));
  return {
    isBeingFound: share > leastShare,
    meanG: meanG + (grams - meanG) * share,
    offG2: offG2 * (1 - share) ** 2 + noiseG2 * share ** 2,
  };
}

/** Most that a mean over the last minutes is behind what a cloth draws, g. */
const DRAWN_BEHIND_G = LIMITS.drawnMostGPerH * (LIMITS.noisyMeanMs / HOUR_MS);

/**
 * Whether a hand moved the weight: it is far from where it was seconds ago; or stands since as far from the mean of minutes
 * as nothing flows, for the jump itself counts as noise for a while, and may hide in it.
 */
function hasJumped({ nearG, meanG }: Trembling, { grams, noisyG }: TremblingInput): boolean {
  const jumpG = Math.max(LIMITS.handlingG, LIMITS.noisyJumpSigmas * noisyG);
  const standsOffG = Math.max(jumpG, DRAWN_BEHIND_G + LIMITS.handlingG);
  return Math.abs(grams - nearG) > jumpG || Math.abs(nearG - meanG) > standsOffG;
}

/** What is known of a tray when its scale has to be read once more. */
export interface BeforeTrembling {
  /** What it weighed before a hand came, and by what pace it dries, g and g/ms. */
  readonly beforeG: number;
  readonly driesGPerMs: number;
}

/**
 * The next reading. A jump is a hand's, and no part of what the tray gained. Nor is, drying aside, what a tray does in the
 * hour after it came to weigh more than before: water that came runs off again. But where it falls by less than the tray was
 * reckoned to dry, that dries by less.
 */
export function nextTrembling(
  state: Trembling,
  input: TremblingInput,
  { beforeG, driesGPerMs }: BeforeTrembling,
): TremblingStep {
  const { grams, uptimeMs, dtMs } = input;
  const { meanG, jumpedMs } = state;
  const nearG = state.nearG + (grams - state.nearG) * Math.min(1, dtMs / LIMITS.noisyNearMs);
  const driedG = Math.max(0, driesGPerMs) * dtMs;
  const { moments, jerkG } = nextMoments(state.moments, input);
  const asItDried = (next: Trembling, restedG: number | null = null): TremblingStep => ({
    state: next,
    slowG: -driedG,
    driesGPerMs,
    restedG,
    jerkG,
  });
  const { isBeingFound, meanG: nextG, offG2 } = nextMean(state, input);
  const jumps = hasJumped(state, input) || jerkG !== 0;
  // A thing put on takes its moments until all of it is weighed.
  if (jumps || uptimeMs - jumpedMs < LIMITS.noisyJumpMs) {
    const again = beginsToTremble(input, jumps ? uptimeMs : jumpedMs, moments);
    return asItDried(again, jumps && !isBeingFound ? meanG : null);
  }
  const mayRunOff = meanG > beforeG && uptimeMs - jumpedMs <= LIMITS.standsMs;
  if (isBeingFound) {
    const found = { stoodG: nextG, foundG: nextG, lostG: 0 };
    return asItDried({ nearG, meanG: nextG, offG2, jumpedMs, moments, ...found });
  }
  if (mayRunOff) {
    const lostG = state.lostG + driedG;
    // What runs off makes it fall by more, never by less; and of what runs in the tray itself gets nothing.
    const keptG = Math.max(0, beyond(nextG - (state.foundG - lostG), 2 * offG2));
    const backG = Math.min(lostG, keptG);
    return {
      state: { ...state, nearG, meanG: nextG, offG2, stoodG: nextG, lostG: lostG - backG, moments },
      slowG: backG - driedG,
      driesGPerMs: driesGPerMs - backG / LIMITS.noisyPaceMs,
      restedG: null,
      jerkG,
    };
  }
  const slowG = beyond(nextG - (state.stoodG - driedG), offG2) - driedG;
  const faded = driesGPerMs * (1 - Math.min(1, dtMs / LIMITS.noisyPaceMs));
  const restsMs = uptimeMs - jumpedMs;
  const isOver = restsMs > LIMITS.standsMs && restsMs - dtMs <= LIMITS.standsMs;
  return {
    state: {
      nearG,
      meanG: nextG,
      offG2,
      stoodG: state.stoodG + slowG,
      jumpedMs,
      foundG: nextG,
      lostG: 0,
      moments,
    },
    slowG,
    driesGPerMs: faded - slowG / LIMITS.noisyPaceMs,
    restedG: isOver ? nextG : null,
    jerkG,
  };
}

/** What is left of a change of `byG` beside what a mean of that variance is off by, g. */
function beyond(byG: number, offG2: number): number {
  const withinG = LIMITS.noisyMeanSigmas * Math.sqrt(offG2);
  return Math.sign(byG) * Math.max(0, Math.abs(byG) - withinG);
}
