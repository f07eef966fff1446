/**
 * What the weight means: hands on the tray, the weight that is water, and what stands there besides.
 * Pure: state in, reading in, state out; the same object while nothing changed.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  book,
  EMPTY_LEDGER,
  flowedIn,
  foreignG,
  isTrayAway,
  isTrayLifted,
  type Ledger,
  type Possible,
  rescaled,
  thingOnG,
} from './ledger';
import {
  isDraining,
  weighedAgain,
  withDrained,
  withFilling,
  withFloodGone,
  withStanding,
} from './ledger-evidence';
import { beginsToTremble, meanShare, nextTrembling, type Trembling } from './trembling';

/** A hand is on the tray, or was within the last quiet time. */
interface Hand {
  readonly sinceMs: number;
  /** Settled weight before the hand, g. */
  readonly beforeG: number;
  /** Since when nothing has moved, ms of uptime; and the weight soon after, g, null until then. */
  readonly quietSinceMs: number;
  readonly restG: number | null;
  /** Movement is judged from this weight, g, taken anew every few seconds, and against an even change. */
  readonly fromG: number;
  readonly fromMs: number;
  /** Even change of the weight by itself (it dries, it leaks), g/ms. */
  readonly slopeGPerMs: number;
  /** Weight at the last tick, g; and what of the change went as fast as only a hand moves it. */
  readonly lastG: number;
  readonly jerkedG: number;
  readonly jerked: boolean;
  /** For how long nobody had weighed the tray before, ms. */
  readonly unseenMs: number;
  /** Its weight while the scale trembles; null while it does not. */
  readonly trembling: Trembling | null;
  /** How fast the tray dries, g/ms: by what was known before, then as it is it is seen meanwhile. */
  readonly driesGPerMs: number;
}

export interface WeightState {
  /** Steps that no dose explains. */
  readonly ledger: Ledger;
  /** Last settled weight as read, g; NaN before the first. */
  readonly settledG: number;
  readonly hand: Hand | null;
  /** Since when nobody could weigh the tray, ms of uptime, minus infinity after a power cut; null while it is weighed. */
  readonly unseenSinceMs: number | null;
}

/** Nothing known of the weight yet, and nothing missing. */
export const NO_WEIGHT: WeightState = {
  ledger: EMPTY_LEDGER,
  settledG: Number.NaN,
  hand: null,
  unseenSinceMs: null,
};

/** As it was before a start: `cut`, if there was no power for nobody knows how long. */
export function weightBefore(ledger: Ledger, settledG: number, cut: boolean): WeightState {
  return { ledger, settledG, hand: null, unseenSinceMs: cut ? Number.NEGATIVE_INFINITY : null };
}

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
  /** Largest rise the pump may be causing right now, g: no hand up to this. */
  readonly expectedRiseG: number;
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
 * hand has left there so far is what stood beside it. No mat waits until the hand is over.
 */
export function isAway(state: WeightState, grams: number, dryG: number): boolean {
  const { ledger, hand } = state;
  if (isTrayAway(ledger) || grams - thingOnG(ledger) < dryG * (1 - LIMITS.absentShare)) return true;
  if (hand === null) return false;
  return isTrayLifted(ledger, grams - hand.beforeG, effectiveG(state, hand.beforeG));
}

/** The same weight read by a calibration that calls a mass `factor` times what it was. */
export function rescaledWeight(state: WeightState, factor: number): WeightState {
  return {
    ledger: rescaled(state.ledger, factor),
    settledG: (state.hand?.beforeG ?? state.settledG) * factor,
    hand: null,
    unseenSinceMs: state.unseenSinceMs,
  };
}

/** Next weight state: notices a hand, and books its step when the weight is quiet again. */
export function nextWeight(state: WeightState, input: WeightInput): WeightState {
  if (Number.isNaN(input.grams)) return unweighed(state, input);
  return weighed(...seenAgain(state, input), input);
}

/** The state of a tray that can be weighed, and for how long it could not, ms. */
function seenAgain(
  state: WeightState,
  { uptimeMs, grams }: WeightInput,
): readonly [WeightState, number] {
  const { hand, unseenSinceMs } = state;
  if (unseenSinceMs === null) return [state, 0];
  const unseenMs = uptimeMs - unseenSinceMs;
  const ledger =
    unseenMs === Number.POSITIVE_INFINITY ? weighedAgain(state.ledger, grams) : state.ledger;
  return [{ ...state, ledger, hand: hand && { ...hand, unseenMs }, unseenSinceMs: null }, unseenMs];
}

function weighed(state: WeightState, unseenMs: number, input: WeightInput): WeightState {
  const { grams, stable, uptimeMs } = input;
  if (Number.isNaN(state.settledG)) return stable ? { ...state, settledG: grams } : state;
  if (state.hand !== null) return whileHandled(state, state.hand, input);
  const moved = grams - state.settledG;
  if (moved < -LIMITS.handlingG || moved > LIMITS.handlingG + input.expectedRiseG) {
    return {
      ...state,
      hand: {
        sinceMs: uptimeMs,
        beforeG: state.settledG,
        quietSinceMs: uptimeMs,
        restG: null,
        fromG: grams,
        fromMs: uptimeMs,
        slopeGPerMs: 0,
        lastG: grams,
        jerkedG: Math.abs(moved) > LIMITS.jerkedStepG ? moved : 0,
        jerked: Math.abs(moved) > LIMITS.jerkedStepG,
        unseenMs,
        trembling: null,
        driesGPerMs: input.driesGPerMs,
      },
    };
  }
  if (input.noisyG > 0)
    return { ...state, settledG: state.settledG + moved * meanShare(input.dtMs) };
  // Follows slow change; a new object only for a step worth remembering.
  if (!stable || Math.abs(moved) <= LIMITS.followG) return state;
  const ledger = withDrained(
    withFilling(state.ledger, moved, grams, uptimeMs),
    grams,
    input,
    uptimeMs,
  );
  return settled({ ...state, ledger }, grams, input);
}

/** At rest at `grams`: what has run off by now, or has not, tells what an earlier step was. */
function settled(state: WeightState, grams: number, input: WeightInput): WeightState {
  const stood = withStanding(state.ledger, grams, input, input.uptimeMs);
  const ledger = withFloodGone(stood, grams - foreignG(stood), input, input.uptimeMs);
  return { ...state, ledger, settledG: grams, hand: null };
}

/** A tray that nobody can weigh dries on as it usually does: what it has lost when it is weighed again is no thing taken off. */
function unweighed(before: WeightState, { driesGPerMs, dtMs, uptimeMs }: WeightInput): WeightState {
  const state = before.unseenSinceMs === null ? { ...before, unseenSinceMs: uptimeMs } : before;
  const driesG = driesGPerMs * dtMs;
  if (driesG === 0 || isTrayAway(state.ledger)) return state;
  const hand = state.hand && { ...state.hand, beforeG: state.hand.beforeG - driesG };
  return { ...state, settledG: state.settledG - driesG, hand };
}

/**
 * While the scale trembles no hand is ever over. What its mean does slowly meanwhile is drying, and no part of what hands
 * did: the weight from before them goes along.
 */
function alongNoisy(hand: Hand, input: WeightInput): Hand {
  const { trembling } = hand;
  if (input.noisyG === 0) return trembling === null ? hand : { ...hand, trembling: null };
  if (trembling === null) return { ...hand, trembling: beginsToTremble(input) };
  const { state, slowG, driesGPerMs } = nextTrembling(trembling, input, hand);
  return { ...hand, trembling: state, beforeG: hand.beforeG + slowG, driesGPerMs };
}

function whileHandled(state: WeightState, handBefore: Hand, input: WeightInput): WeightState {
  const { grams, stable, uptimeMs } = input;
  const before = alongNoisy(handBefore, input);
  const moveG = grams - before.lastG;
  const jerks = Math.abs(moveG) > LIMITS.jerkG;
  const hand = {
    ...before,
    lastG: grams,
    jerkedG: before.jerkedG + (jerks ? moveG : 0),
    jerked: before.jerked || jerks,
  };
  const sinceMs = uptimeMs - hand.fromMs;
  const evenG = hand.fromG + hand.slopeGPerMs * sinceMs;
  const slopeGPerMs = (grams - hand.fromG) / sinceMs;
  if (Math.abs(grams - evenG) > LIMITS.restlessG) {
    return { ...state, hand: movedAgain(hand, grams, uptimeMs, slopeGPerMs) };
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
    return { ...state, hand: next };
  }
  const restG = next.restG ?? grams;
  const draining = isDraining(state.ledger, hand.sinceMs);
  if (hasFlowed(next, restG, draining)) {
    const ledger =
      restG > hand.beforeG
        ? flowedIn(state.ledger, restG - hand.beforeG, restG, uptimeMs)
        : draining
          ? withDrained(state.ledger, restG, input, hand.sinceMs)
          : state.ledger;
    return settled({ ...state, ledger }, grams, input);
  }
  // What the weight did since the hand left is drying, and no part of the step.
  const change = {
    stepG: restG - hand.beforeG,
    afterG: restG,
    waterG: effectiveG(state, hand.beforeG),
    uptimeMs,
    unseenMs: hand.unseenMs,
    losesGPerMs: input.losesGPerMs,
    reckonedG: hand.unseenMs < Number.POSITIVE_INFINITY ? input.driesGPerMs * hand.unseenMs : 0,
  };
  return { ...state, ledger: book(state.ledger, change, input), settledG: grams, hand: null };
}

/**
 * The change up to `restG` came gently, as water runs in and out, whatever hands did to the tray meanwhile; and it took
 * its time, where nothing is known to drain.
 */
function hasFlowed(hand: Hand, restG: number, draining: boolean): boolean {
  const changeG = restG - hand.beforeG;
  const flowedG = changeG - hand.jerkedG;
  const gently =
    flowedG * changeG > 0 && Math.abs(hand.jerkedG) <= LIMITS.jerkedMostShare * Math.abs(flowedG);
  const tookMs = hand.quietSinceMs - hand.sinceMs;
  return gently && (tookMs >= LIMITS.flowsMs || (draining && changeG < 0));
}

/** A hand that still moves the weight; or a weight that moves by itself, slowly: its pace is remembered. */
function movedAgain(hand: Hand, grams: number, uptimeMs: number, slopeGPerMs: number): Hand {
  const slow = uptimeMs - hand.fromMs >= LIMITS.driftMs;
  return {
    ...hand,
    quietSinceMs: uptimeMs,
    restG: null,
    fromG: grams,
    fromMs: uptimeMs,
    slopeGPerMs: slow ? slopeGPerMs : 0,
  };
}
