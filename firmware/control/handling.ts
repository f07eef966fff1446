/** A hand on the tray: since when, and how it moves the weight. Pure; what it has done is `hand-done.ts`. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { withFlow } from './flowing';
import { bookDone, changeBy } from './hand-done';
import { foreignG, isTrayAway, type Ledger, matchG } from './ledger';
import { isAbsent, isMoreThanGoes, mayBeBack } from './ledger-away';
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
  /** For how long nobody had weighed the tray before, ms; and what it may have lost lately that a thing hides, g. */
  readonly unseenMs: number;
  readonly hidesG: number;
  /** Its weight while the scale trembles; null while it does not. */
  readonly trembling: Trembling | null;
  /** How fast the tray dries, g/ms: by what was known before, then as it is seen meanwhile. */
  readonly driesGPerMs: number;
  /** Since when it has the tray off the scale, ms of uptime; null while what stands there may be the tray. */
  readonly wentMs: number | null;
  /** For how long it had the tray off the scale before that was back, ms. */
  readonly awayMs: number;
  /** Weight at which something stood last, if only for seconds, g; and the other one at which it did before that. */
  readonly levelG: number;
  readonly otherLevelG: number;
}

/**
 * Whether it is at the tray where that stands, as far as can be told: what moves gently is water, a tray that it has beside the
 * scale dries there, and a scale that trembles says of no hand that it is over.
 */
export const isOnTray = ({ jerked, wentMs, trembling }: Hand): boolean =>
  jerked && wentMs === null && trembling === null;

/**
 * What changes of a hand before it moves on, the steps with what was a step of its own, and what it is seen to have done at once
 * now, g.
 */
type Along = Pick<
  Hand,
  'sinceMs' | 'beforeG' | 'jerkedG' | 'jerked' | 'unseenMs' | 'trembling' | 'driesGPerMs' | 'awayMs'
> & { readonly ledger: Ledger; readonly jerkG: number };

const asItWas = (
  ledger: Ledger,
  hand: Hand,
  trembling: Trembling | null,
  jerkG: number,
): Along => ({
  ledger,
  jerkG,
  sinceMs: hand.sinceMs,
  beforeG: hand.beforeG,
  jerkedG: hand.jerkedG,
  jerked: hand.jerked,
  unseenMs: hand.unseenMs,
  trembling,
  driesGPerMs: hand.driesGPerMs,
  awayMs: hand.awayMs,
});

/**
 * While the scale trembles no hand is ever over. What its mean does slowly meanwhile is drying, and no part of what hands
 * did: the weight from before them goes along. Where it jumps from a mean that was found, what hands had done by then is a
 * step of its own; but a tray that they took off is away by what is left, and back as soon as it is.
 */
function alongNoisy(ledger: Ledger, hand: Hand, input: WeightInput): Along {
  if (hand.trembling === null) return asItWas(ledger, hand, beginsToTremble(input), 0);
  const { state, slowG, driesGPerMs, restedG, jerkG } = nextTrembling(hand.trembling, input, hand);
  const was = asItWas(ledger, hand, state, jerkG);
  const same = { ...was, beforeG: hand.beforeG + slowG, driesGPerMs };
  // What stands there meanwhile is not the tray.
  if (restedG === null || hand.wentMs !== null) return same;
  const isStep = Math.abs(restedG - hand.beforeG) > LIMITS.handlingG;
  const now = isStep
    ? (withFlow(ledger, hand, restedG, input) ??
      bookDone(ledger, hand, changeBy(ledger, hand, restedG, input), input))
    : ledger;
  if (isTrayAway(now)) return same;
  const { uptimeMs: sinceMs } = input;
  const anew = { jerkedG: 0, jerked: false, unseenMs: 0, awayMs: 0 };
  return { ...same, ...anew, ledger: now, sinceMs, beforeG: restedG };
}

/**
 * A tray that is weighed again and has stood still was found so, whatever hand moves it then: what nobody weighed is a step of
 * its own, judged by how long that was, and none of it is the hand's. But a tray that was found away is back by what stands
 * there, however long it dried.
 */
function sinceFound(ledger: Ledger, hand: Hand, input: WeightInput, jerkG: number): Along {
  const same = asItWas(ledger, hand, null, jerkG);
  const { restG, unseenMs, wentMs } = hand;
  if (unseenMs === 0 || restG === null || wentMs !== null || jerkG === 0) return same;
  const found = book(ledger, changeBy(ledger, hand, restG, input), input);
  if (isTrayAway(found)) return same;
  return {
    ...same,
    ledger: found,
    sinceMs: input.uptimeMs,
    beforeG: restG,
    jerkedG: 0,
    unseenMs: 0,
  };
}

/** What a hand took, g: all that it moved at once, less than nothing; and the fall from where the scale stood seconds before. */
interface Taken {
  readonly jerkedG: number;
  readonly fellG: number;
}

/**
 * Since when a hand has the tray off the scale: from when too little is left there, more went than may go from a tray, or it
 * fell at once by what the tray weighs, until what stands there may be it again. A tray that was away before the hand is
 * judged as the hand is over.
 */
function wentSince(
  { ledger, beforeG, unseenMs }: Along,
  { jerkedG, fellG }: Taken,
  wentMs: number | null,
  input: WeightInput,
): number | null {
  if (isTrayAway(ledger)) return null;
  const { grams, uptimeMs, dryG, losesGPerMs } = input;
  const waterG = beforeG - foreignG(ledger);
  if (wentMs === null) {
    // What nobody weighed may have dried; and what runs out goes by itself.
    const goneG = unseenMs > 0 ? 0 : Math.min(beforeG - grams, -jerkedG);
    const fellByTray = isSame(fellG, waterG) || isSame(fellG, beforeG);
    const tooMuch = fellByTray || isMoreThanGoes(ledger, goneG, waterG, input);
    if (!tooMuch && !isAbsent(ledger, grams, dryG)) return null;
  }
  const sinceMs = wentMs ?? uptimeMs;
  const beside = { awayMs: uptimeMs - sinceMs, losesGPerMs };
  return mayBeBack(ledger, grams, waterG, input, beside) ? null : sinceMs;
}

const isSame = (a: number, b: number): boolean => Math.abs(a - b) <= matchG(b);

/**
 * The same hand at the next reading, and the steps. Its fields are written out here and where it moves again, and the
 * state's round it: in a spread with others behind it each costs ten times as much, at every tick with a hand on the tray.
 */
export function nextHand(
  ledger: Ledger,
  before: Hand,
  input: WeightInput,
): { readonly ledger: Ledger; readonly hand: Hand } {
  const moveG = input.grams - before.lastG;
  const along =
    input.noisyG > 0
      ? alongNoisy(ledger, before, input)
      : sinceFound(ledger, before, input, Math.abs(moveG) > LIMITS.jerkG ? moveG : 0);
  const jerkedG = along.jerkedG + along.jerkG;
  const stands = Math.abs(moveG) <= LIMITS.levelG;
  const isOther = stands && Math.abs(input.grams - before.levelG) > LIMITS.levelG;
  const otherLevelG = isOther ? before.levelG : before.otherLevelG;
  const fellG = stands ? otherLevelG - input.grams : 0;
  const wentMs = wentSince(along, { jerkedG, fellG }, before.wentMs, input);
  const cameBack = before.wentMs !== null && wentMs === null;
  const hand: Hand = {
    sinceMs: along.sinceMs,
    beforeG: along.beforeG,
    quietSinceMs: before.quietSinceMs,
    restG: before.restG,
    fromG: before.fromG,
    fromMs: before.fromMs,
    slopeGPerMs: before.slopeGPerMs,
    lastG: input.grams,
    jerkedG,
    jerked: along.jerked || along.jerkG !== 0,
    unseenMs: along.unseenMs,
    hidesG: before.hidesG,
    trembling: along.trembling,
    driesGPerMs: along.driesGPerMs,
    wentMs,
    awayMs: along.awayMs + (cameBack ? input.uptimeMs - (before.wentMs ?? 0) : 0),
    levelG: stands ? input.grams : before.levelG,
    otherLevelG,
  };
  return { ledger: along.ledger, hand };
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
    hidesG: hand.hidesG,
    trembling: hand.trembling,
    driesGPerMs: hand.driesGPerMs,
    wentMs: hand.wentMs,
    awayMs: hand.awayMs,
    levelG: hand.levelG,
    otherLevelG: hand.otherLevelG,
  };
}
