/**
 * What the weight means: hands on the tray, the weight that is water, and what stands there besides.
 * Pure: state in, reading in, state out; the same object while nothing changed.
 */
import { SECOND_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { withFlow } from './flowing';
import { bookHand } from './hand-done';
import { type Hand, movedAgain, nextHand } from './handling';
import { EMPTY_LEDGER, foreignG, isTrayAway, type Ledger, type Possible } from './ledger';
import { besideMs, isAbsent } from './ledger-away';
import { isTrayLifted } from './ledger-booking';
import {
  weighedAgain,
  withDrained,
  withFilling,
  withFloodGone,
  withStanding,
} from './ledger-evidence';
import { type Hidden, hiddenBeside, hiddenG, hiddenSince } from './ledger-unseen';
import { meanShare, movesTrembling } from './trembling';
import { unweighedFor, WEIGHED, type Weighing } from './weighing';

export interface WeightState {
  /** Steps that no dose explains. */
  readonly ledger: Ledger;
  /** Last settled weight as read, g; NaN before the first. */
  readonly settledG: number;
  readonly hand: Hand | null;
  readonly weighing: Weighing;
  /** What the tray may have lost lately while nobody weighed it, hidden by a thing; null where nothing. */
  readonly hidden: Hidden | null;
}

/** Nothing known of the weight yet, and nothing missing. */
export const NO_WEIGHT: WeightState = {
  ledger: EMPTY_LEDGER,
  settledG: Number.NaN,
  hand: null,
  weighing: WEIGHED,
  hidden: null,
};

export interface WeightInput extends Possible {
  readonly uptimeMs: number;
  /** As read, g; NaN while the scale cannot say. */
  readonly grams: number;
  readonly stable: boolean;
  /** Standard deviation of single codes while the scale trembles so that it is a fault, g; 0 while it does not. */
  readonly noisyG: number;
  /** Since the last tick, ms. */
  readonly dtMs: number;
  /** How fast the tray usually dries, and by what it lost last, a leak or not, g/ms. */
  readonly driesGPerMs: number;
  readonly losesGPerMs: number;
  /** Largest rise the pump may be causing right now, g: no hand up to this, unless it comes at once. */
  readonly expectedRiseG: number;
  /** By how much more the scale reads than at the last tick, g; NaN where it could not say then. */
  readonly roseG: number;
  /** By how much the mat is colder than the root zone, K; NaN while a probe cannot say. */
  readonly matColderK: number;
}

/** Whether a hand is on the tray, or was within the last quiet time. */
export function isHandled(state: WeightState): boolean {
  return state.hand !== null;
}

/** What moves the weight moves it gently, as water does that runs out: no hand. */
export function isGentle({ hand }: WeightState): boolean {
  return hand !== null && !hand.jerked;
}

/** Weight of the tray and its water, without what was taken off or put on, g. */
export function effectiveG(state: WeightState, grams: number): number {
  return grams - foreignG(state.ledger);
}

/**
 * The tray stands somewhere else: it was taken off, or there is too little on the scale, besides things, to be it; or what a
 * hand has left there so far is what stood beside it, or too light to be the tray that it took off. No mat waits until the
 * hand is over.
 */
export function isAway(state: WeightState, grams: number, dryG: number): boolean {
  const { ledger, hand } = state;
  if (isTrayAway(ledger) || isAbsent(ledger, grams, dryG)) return true;
  if (hand === null) return false;
  if (hand.wentMs !== null) return true;
  return isTrayLifted(ledger, grams - hand.beforeG, effectiveG(state, hand.beforeG));
}

/** Next weight state: notices a hand, and books its step when the weight is quiet again. */
export function nextWeight(state: WeightState, input: WeightInput): WeightState {
  if (Number.isNaN(input.grams)) return unweighed(state, input);
  if (state.weighing.is === 'weighed') return weighed(state, 0, input);
  const unseenMs = unweighedFor(state.weighing, input.uptimeMs);
  return weighed(seenAgain(state, unseenMs, input), unseenMs, input);
}

/** The state of a tray that can be weighed, after so long in which it could not, ms. */
function seenAgain(state: WeightState, unseenMs: number, input: WeightInput): WeightState {
  const { hand } = state;
  const ledger =
    unseenMs === Number.POSITIVE_INFINITY ? weighedAgain(state.ledger, input.grams) : state.ledger;
  const hidden = hiddenSince(state.hidden, unseenMs, input);
  const hidesG = hiddenG(hidden, input.uptimeMs);
  // What was found before, and does not stand yet, nobody had weighed for longer.
  const seen = hand && { ...hand, unseenMs: hand.unseenMs + unseenMs, hidesG };
  return { ...state, ledger, hand: seen, weighing: WEIGHED, hidden };
}

function weighed(state: WeightState, unseenMs: number, input: WeightInput): WeightState {
  const { grams, stable, uptimeMs } = input;
  if (Number.isNaN(state.settledG)) return stable ? { ...state, settledG: grams } : state;
  if (state.hand !== null) return whileHandled(state, state.hand, input);
  // While the pump gives, what a hand does comes at once, and what the dose brought before is no part of it.
  const comesAmidDose = input.expectedRiseG > 0 && isJump(input, LIMITS.jerkedStepG);
  const beforeG = comesAmidDose ? grams - input.roseG : state.settledG;
  const moved = grams - beforeG;
  const trembles = input.noisyG > 0;
  const jerked = !trembles && Math.abs(moved) > LIMITS.jerkedStepG;
  if (
    comesAmidDose ||
    moved < -LIMITS.handlingG ||
    moved > LIMITS.handlingG + input.expectedRiseG
  ) {
    return {
      ...state,
      hand: {
        sinceMs: uptimeMs,
        beforeG,
        quietSinceMs: uptimeMs,
        restG: null,
        fromG: grams,
        fromMs: uptimeMs,
        slopeGPerMs: 0,
        lastG: grams,
        jerkedG: jerked || isJump(input, LIMITS.jerkG) ? moved : 0,
        jerked,
        unseenMs,
        hidesG: hiddenG(state.hidden, uptimeMs),
        trembling: trembles ? movesTrembling(input, beforeG) : null,
        driesGPerMs: input.driesGPerMs,
        wentMs: null,
        awayMs: 0,
        levelG: beforeG,
        otherLevelG: beforeG,
      },
    };
  }
  if (trembles)
    return {
      ledger: state.ledger,
      settledG: state.settledG + moved * meanShare(input.dtMs),
      hand: null,
      weighing: WEIGHED,
      hidden: state.hidden,
    };
  // Follows slow change; a new object only for a step worth remembering.
  if (!stable || Math.abs(moved) <= LIMITS.followG) return state;
  return followed(state.ledger, moved, input, state.hidden);
}

/** At rest, `moved` by less than any hand does: it dries, drains, or fills. */
function followed(
  ledger: Ledger,
  moved: number,
  input: WeightInput,
  hidden: Hidden | null,
): WeightState {
  const { grams, uptimeMs } = input;
  const filling = withFilling(ledger, moved, grams, uptimeMs);
  return settled(withDrained(filling, grams, input, uptimeMs), grams, input, hidden);
}

/** The weight goes by more than `mostG` a second, as no water does; on a scale that trembles nobody can tell. */
function isJump({ roseG, noisyG, dtMs }: WeightInput, mostG: number): boolean {
  return noisyG === 0 && Math.abs(roseG) > mostG * Math.max(1, dtMs / SECOND_MS);
}

/** At rest at `grams`: what has run off by now, or has not, tells what an earlier step was. */
function settled(
  before: Ledger,
  grams: number,
  input: WeightInput,
  hidden: Hidden | null,
): WeightState {
  const stood = withStanding(before, grams, input, input.uptimeMs);
  const ledger = withFloodGone(stood, grams - foreignG(stood), input, input.uptimeMs);
  return { ledger, settledG: grams, hand: null, weighing: WEIGHED, hidden };
}

/** A tray that nobody can weigh dries on as it usually does: what it has lost when it is weighed again is no thing taken off. */
function unweighed(before: WeightState, { driesGPerMs, dtMs, uptimeMs }: WeightInput): WeightState {
  const falls = before.weighing.is === 'weighed';
  const state: WeightState = falls
    ? { ...before, weighing: { is: 'silent', sinceMs: uptimeMs } }
    : before;
  const driesG = driesGPerMs * dtMs;
  if (driesG === 0 || isTrayAway(state.ledger)) return state;
  const hand = state.hand && { ...state.hand, beforeG: state.hand.beforeG - driesG };
  return { ...state, settledG: state.settledG - driesG, hand };
}

function handled(
  { settledG, weighing, hidden }: WeightState,
  ledger: Ledger,
  hand: Hand,
): WeightState {
  return { ledger, settledG, hand, weighing, hidden };
}

function whileHandled(state: WeightState, before: Hand, input: WeightInput): WeightState {
  const { grams, stable, uptimeMs } = input;
  const { ledger: known, hand } = nextHand(state.ledger, before, input);
  const sinceMs = uptimeMs - hand.fromMs;
  const evenG = hand.fromG + hand.slopeGPerMs * sinceMs;
  const slopeGPerMs = (grams - hand.fromG) / sinceMs;
  if (Math.abs(grams - evenG) > LIMITS.restlessG) {
    return handled(state, known, movedAgain(hand, grams, uptimeMs, slopeGPerMs));
  }
  // Taken anew, and against its own pace, so that a tray which dries or leaks is not a hand for ever.
  const renewed = sinceMs >= LIMITS.restlessMs;
  const soonG = grams - slopeGPerMs * (uptimeMs - hand.quietSinceMs);
  const next = renewed
    ? {
        ...hand,
        fromG: grams,
        fromMs: uptimeMs,
        slopeGPerMs,
        restG: hand.restG ?? soonG,
      }
    : hand;
  // A little trembling is no hand: it may not keep the water off for ever.
  if (!stable || uptimeMs - next.quietSinceMs < LIMITS.quietMs) {
    return handled(state, known, next);
  }
  const restG = next.restG ?? grams;
  // What begins to move, and comes to as little as a settled weight may, was none.
  if (!hand.jerked && Math.abs(restG - hand.beforeG) <= LIMITS.handlingG) {
    return followed(known, restG - hand.beforeG, input, state.hidden);
  }
  const flowed = withFlow(known, next, restG, input);
  if (flowed !== null) return settled(flowed, grams, input, state.hidden);
  // What the weight did since the hand left is drying, and no part of the step.
  const ledger = bookHand(known, next, restG, input);
  // Nor did anybody weigh what it lost beside its scale.
  const besideScaleMs = Math.max(next.awayMs, besideMs(known, ledger, uptimeMs));
  const hidden = hiddenBeside(state.hidden, besideScaleMs, input);
  return { ...state, ledger, settledG: grams, hand: null, hidden };
}
