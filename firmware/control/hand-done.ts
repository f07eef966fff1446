/** What a hand has done when it is over, or by the time the weight jumps again: its step, and what of it was no hand's. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import type { Hand } from './handling';
import {
  bounded,
  type Change,
  foreignG,
  isTrayAway,
  type Ledger,
  matchG,
  type Possible,
} from './ledger';
import { withTrayAndGain } from './ledger-away';
import { book } from './ledger-booking';
import { withOtherInPlace } from './ledger-unseen';
import type { WeightInput } from './weight';

/**
 * The steps after a hand is over, and the weight stands at `restG` or moves evenly from there: what it left in the place of a
 * tray that it took off is a thing, and what ran off meanwhile is no part of what it did.
 */
export function bookHand(ledger: Ledger, hand: Hand, restG: number, input: WeightInput): Ledger {
  const beforeG = hand.beforeG - ranOffMeanwhileG(ledger, hand, restG, input);
  const change: Change = {
    ...changeBy(ledger, { ...hand, beforeG }, restG, input),
    losesGPerMs: Math.max(input.losesGPerMs, fallsOnGPerMs(hand, restG, input)),
  };
  const booked = bookDone(ledger, hand, change, input);
  const isOther = hand.wentMs !== null && !isTrayAway(booked);
  return isOther ? bounded(withOtherInPlace(ledger, change)) : booked;
}

/**
 * Books what a hand did. A tray that it held beside the scale for as long as it takes a hand to be over has been away, and
 * is judged as one that comes back, whether or not the scale stood still meanwhile. So is one that it lifted for seconds and
 * that comes back lighter by more than a lid weighs that stands on it: no tray loses that in a hand, but what was lifted may
 * have been a thing in the place of one that dried beside it. In doubt the tray is the drier.
 */
export function bookDone(ledger: Ledger, hand: Hand, change: Change, possible: Possible): Ledger {
  const { awayMs, wentMs, unseenMs } = hand;
  const isLighter = awayMs > 0 && change.stepG < -LIMITS.goesMostG;
  const wasOff = awayMs >= LIMITS.quietMs || isLighter;
  const wasAway = wasOff && wentMs === null && unseenMs === 0;
  if (!wasAway || isTrayAway(ledger)) return book(ledger, change, possible);
  const { stepG, afterG, uptimeMs } = change;
  const away: Ledger = [...ledger, { kind: 'tray', stepG, afterG, atMs: uptimeMs - awayMs }];
  const there = withTrayAndGain(away, change, possible);
  return there === null ? book(ledger, change, possible) : bounded(there);
}

/**
 * What of a flood ran off while a hand was there, g: what the weight lost besides what went as fast as only a hand moves it,
 * where so much stood above container capacity. 0 where a scale that trembles cannot say what went fast.
 */
function ranOffMeanwhileG(
  ledger: Ledger,
  hand: Hand,
  restG: number,
  { capacityG }: WeightInput,
): number {
  const { beforeG, jerkedG, unseenMs, trembling } = hand;
  if (trembling !== null || unseenMs > 0 || isTrayAway(ledger)) return 0;
  const ranOffG = beforeG + jerkedG - restG;
  const floodG = beforeG - foreignG(ledger) - capacityG;
  const ranOff = ranOffG > LIMITS.drainedG && ranOffG <= floodG + matchG(ranOffG);
  return ranOff && Math.abs(jerkedG) > LIMITS.handlingG ? ranOffG : 0;
}

/** How fast the weight falls on when the hand is over, g/ms; 0 where evaporation reaches as much. */
function fallsOnGPerMs(
  { quietSinceMs }: Hand,
  restG: number,
  { grams, uptimeMs }: WeightInput,
): number {
  const gPerMs = (restG - grams) / (uptimeMs - quietSinceMs);
  return gPerMs > LIMITS.fallingG / LIMITS.fallingMs ? gPerMs : 0;
}

/** What a hand did, by the weight at which it left the tray. */
export function changeBy(
  ledger: Ledger,
  { beforeG, unseenMs, sinceMs, hidesG }: Hand,
  restG: number,
  input: WeightInput,
): Change {
  return {
    stepG: restG - beforeG,
    afterG: restG,
    waterG: beforeG - foreignG(ledger),
    uptimeMs: input.uptimeMs,
    unseenMs,
    losesGPerMs: input.losesGPerMs,
    reckonedG: unseenMs < Number.POSITIVE_INFINITY ? input.driesGPerMs * unseenMs : 0,
    handMs: input.uptimeMs - sinceMs,
    hidesG: unseenMs > 0 ? 0 : hidesG,
    isMatBare: hadNoHeat(unseenMs, sinceMs) && input.matColderK > LIMITS.bareMatK,
  };
}

/** Nobody weighed the tray as the power was cut. Where the board was up, and only its scale was silent, the mat heated on. */
const hadNoHeat = (unseenMs: number, foundMs: number): boolean =>
  unseenMs === Number.POSITIVE_INFINITY && foundMs <= LIMITS.firstWeightMs;
