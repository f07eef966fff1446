/** A hand on the tray: since when, how it moves the weight, and what it has done when it leaves. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { type Change, foreignG, isTrayAway, type Ledger } from './ledger';
import { book } from './ledger-booking';
import { beginsToTremble, nextTrembling, type Trembling } from './trembling';
import type { WeightInput } from './weight';

/** A hand is on the tray, or was within the last quiet time. */
export interface Hand {
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

/**
 * While the scale trembles no hand is ever over. What its mean does slowly meanwhile is drying, and no part of what hands
 * did: the weight from before them goes along. Where it jumps from a mean that was found, what hands had done by then is a
 * step of its own; but a tray that they took off is away by what is left, and back as soon as it is.
 */
export function alongNoisy(
  ledger: Ledger,
  hand: Hand,
  input: WeightInput,
): { readonly ledger: Ledger; readonly hand: Hand } {
  const { trembling } = hand;
  if (input.noisyG === 0) {
    return { ledger, hand: trembling === null ? hand : { ...hand, trembling: null } };
  }
  if (trembling === null) return { ledger, hand: { ...hand, trembling: beginsToTremble(input) } };
  const { state, slowG, driesGPerMs, restedG } = nextTrembling(trembling, input, hand);
  const next = { ...hand, trembling: state, beforeG: hand.beforeG + slowG, driesGPerMs };
  if (restedG === null) return { ledger, hand: next };
  const isStep = Math.abs(restedG - hand.beforeG) > LIMITS.handlingG;
  const now = isStep ? book(ledger, changeBy(ledger, hand, restedG, input), input) : ledger;
  if (isTrayAway(now)) return { ledger, hand: next };
  const { uptimeMs: sinceMs } = input;
  return { ledger: now, hand: { ...next, sinceMs, beforeG: restedG, jerkedG: 0, unseenMs: 0 } };
}

/** What a hand did, by the weight at which it left the tray. */
export function changeBy(ledger: Ledger, hand: Hand, restG: number, input: WeightInput): Change {
  const { beforeG, unseenMs } = hand;
  return {
    stepG: restG - beforeG,
    afterG: restG,
    waterG: beforeG - foreignG(ledger),
    uptimeMs: input.uptimeMs,
    unseenMs,
    losesGPerMs: input.losesGPerMs,
    reckonedG: unseenMs < Number.POSITIVE_INFINITY ? input.driesGPerMs * unseenMs : 0,
  };
}

/**
 * The change up to `restG` came gently, as water runs in and out, whatever hands did to the tray meanwhile; and it took
 * its time, where nothing is known to drain.
 */
export function hasFlowed(hand: Hand, restG: number, draining: boolean): boolean {
  const changeG = restG - hand.beforeG;
  const flowedG = changeG - hand.jerkedG;
  const gently =
    flowedG * changeG > 0 && Math.abs(hand.jerkedG) <= LIMITS.jerkedMostShare * Math.abs(flowedG);
  const tookMs = hand.quietSinceMs - hand.sinceMs;
  return gently && (tookMs >= LIMITS.flowsMs || (draining && changeG < 0));
}

/** A hand that still moves the weight; or a weight that moves by itself, slowly: its pace is remembered. */
export function movedAgain(hand: Hand, grams: number, uptimeMs: number, slopeGPerMs: number): Hand {
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
