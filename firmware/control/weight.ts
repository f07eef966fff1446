/**
 * What the weight means: hands on the tray, the weight that is water, and weights that move by
 * themselves. Pure: state in, reading in, state out; the same object while nothing changed.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';

export interface WeightState {
  /**
   * What is missing on the scale without being water (a lid taken off), g, zero or negative. A jump
   * down is taken as such a thing; a jump up first pays it back, and the rest is water.
   */
  readonly shiftG: number;
  /** Last settled weight as read, g; NaN before the first. */
  readonly settledG: number;
  /** A hand is on the tray, since this uptime; NaN when not. */
  readonly handledMs: number;
  /** Settled weight before the hand, g. */
  readonly beforeG: number;
  /** Since when the weight has been quiet while handled, ms of uptime. */
  readonly quietSinceMs: number;
}

/** Nothing known of the weight yet, and nothing missing. */
export const NO_WEIGHT: WeightState = {
  shiftG: 0,
  settledG: Number.NaN,
  handledMs: Number.NaN,
  beforeG: Number.NaN,
  quietSinceMs: Number.NaN,
};

export interface WeightInput {
  readonly uptimeMs: number;
  /** As read, g; NaN while the scale cannot say. */
  readonly grams: number;
  readonly stable: boolean;
  /** Largest rise the pump may be causing right now, g: no hand up to this. */
  readonly expectedRiseG: number;
}

/** Whether a hand is on the tray, or was within the last quiet time. */
export function isHandled(state: WeightState): boolean {
  return !Number.isNaN(state.handledMs);
}

/** Weight without what handling took off or put back, g. */
export function effectiveG(state: WeightState, grams: number): number {
  return grams - state.shiftG;
}

/** Next weight state: notices a hand, and takes its difference over when the weight is quiet again. */
export function nextWeight(state: WeightState, input: WeightInput): WeightState {
  if (Number.isNaN(input.grams)) return state;
  if (Number.isNaN(state.settledG)) {
    return input.stable ? { ...state, settledG: input.grams } : state;
  }
  const moved = input.grams - state.settledG;
  if (isHandled(state)) return settleAfterHand(state, input, moved);
  const byHand = moved < -LIMITS.handlingG || moved > LIMITS.handlingG + input.expectedRiseG;
  if (byHand) {
    return {
      ...state,
      handledMs: input.uptimeMs,
      beforeG: state.settledG,
      settledG: input.grams,
      quietSinceMs: input.uptimeMs,
    };
  }
  // Follows slow change; a new object only for a step worth remembering.
  return input.stable && Math.abs(moved) > LIMITS.followG
    ? { ...state, settledG: input.grams }
    : state;
}

function settleAfterHand(state: WeightState, input: WeightInput, moved: number): WeightState {
  if (Math.abs(moved) > LIMITS.restlessG) {
    return { ...state, settledG: input.grams, quietSinceMs: input.uptimeMs };
  }
  // A little trembling is no hand: it may not keep the water off for ever.
  if (!input.stable || input.uptimeMs - state.quietSinceMs < LIMITS.quietMs) return state;
  return {
    ...state,
    shiftG: Math.min(0, state.shiftG + input.grams - state.beforeG),
    settledG: input.grams,
    handledMs: Number.NaN,
    quietSinceMs: Number.NaN,
  };
}
