/** A hand on the tray, as its weight shows it: what of the change is the hand's, and when it is over. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  beginsToTremble,
  nextTrembling,
  type Trembling,
  type TremblingInput,
  type TremblingStep,
} from './trembling';

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

/** What the scale's trembling comes to; no state while it stands still. */
interface AlongNoisy extends Omit<TremblingStep, 'state'> {
  readonly state: Trembling | null;
}

/**
 * While the scale trembles no hand is ever over. What its mean does slowly meanwhile is drying, and no part of what hands
 * did: the weight from before them goes along.
 */
function alongNoisy(hand: Hand, input: TremblingInput): AlongNoisy {
  const { trembling, driesGPerMs } = hand;
  if (input.noisyG === 0) return { state: null, slowG: 0, driesGPerMs };
  if (trembling === null) return { state: beginsToTremble(input), slowG: 0, driesGPerMs };
  return nextTrembling(trembling, input, hand);
}

/**
 * The same hand at the next reading. Its fields are written out here and where it moves again, and the state's round it:
 * in a spread with others behind it each costs ten times as much, at every tick with a hand on the tray.
 */
export function nextHand(before: Hand, input: TremblingInput): Hand {
  const { state, slowG, driesGPerMs } = alongNoisy(before, input);
  const moveG = input.grams - before.lastG;
  const jerks = Math.abs(moveG) > LIMITS.jerkG;
  return {
    sinceMs: before.sinceMs,
    beforeG: before.beforeG + slowG,
    quietSinceMs: before.quietSinceMs,
    restG: before.restG,
    fromG: before.fromG,
    fromMs: before.fromMs,
    slopeGPerMs: before.slopeGPerMs,
    lastG: input.grams,
    jerkedG: before.jerkedG + (jerks ? moveG : 0),
    jerked: before.jerked || jerks,
    unseenMs: before.unseenMs,
    trembling: state,
    driesGPerMs,
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
    sinceMs: hand.sinceMs,
    beforeG: hand.beforeG,
    quietSinceMs: uptimeMs,
    restG: null,
    fromG: grams,
    fromMs: uptimeMs,
    slopeGPerMs: slow ? slopeGPerMs : 0,
    lastG: hand.lastG,
    jerkedG: hand.jerkedG,
    jerked: hand.jerked,
    unseenMs: hand.unseenMs,
    trembling: hand.trembling,
    driesGPerMs: hand.driesGPerMs,
  };
}
