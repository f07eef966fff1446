/**
 * The weight ledger: every step of the weight that no dose explains, kept apart until something explains
 * it - its opposite, a mark, what is possible, or its own behaviour. Nothing is folded into one number
 * that cannot be taken apart again. Pure.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { withRoom } from './ledger-room';
import {
  driedShare,
  driedUnseen,
  foundHeavier,
  replacedUnseen,
  sumG,
  without,
} from './ledger-unseen';

/**
 * What a step is taken for. `off`, `on`: a thing taken off (a lid) or put on. `tray`: the tray itself was
 * taken off. `water`: poured on by hand - until it is taken off again in one piece, as water never is; or, less than
 * nothing, what a flooded tray lost in one piece. The order is on flash: append only.
 */
export const STEP_KINDS = ['off', 'on', 'tray', 'water'] as const;
export type StepKind = (typeof STEP_KINDS)[number];

export interface Step {
  readonly kind: StepKind;
  /** Change of the weight, g. */
  readonly stepG: number;
  /** Weight as read when it was over, g; NaN when that was before this start. */
  readonly afterG: number;
  /** Uptime then, ms. */
  readonly atMs: number;
  /** It came gently, or ran off, as no thing does. */
  readonly flowed?: true;
  /** Found on the tray after a power cut, or as it came back: a thing may weigh more, by what the tray lost meanwhile. */
  readonly found?: true;
}

/** Open steps, the oldest first. */
export type Ledger = readonly Step[];
export const EMPTY_LEDGER: Ledger = [];

/** What the wool can hold, g as the scale reads it with nothing else on it; NaN while unknown. */
export interface Possible {
  readonly capacityG: number;
  readonly dryG: number;
}

/** What is on the scale, or missing from it, without being the tray and its water, g. */
export function foreignG(ledger: Ledger): number {
  let sum = 0;
  for (const { kind, stepG } of ledger) if (kind !== 'water') sum += stepG;
  return sum;
}

/** The tray itself stands somewhere else. */
export function isTrayAway(ledger: Ledger): boolean {
  return ledger.some(({ kind }) => kind === 'tray');
}

/** Largest thing that stands on the tray, g; 0 when none does. */
export function thingOnG(ledger: Ledger): number {
  return ledger.reduce(
    (most, { kind, stepG }) => (kind === 'on' ? Math.max(most, stepG) : most),
    0,
  );
}

/** By how much a thing of `sizeG` may seem another, g. */
export const matchG = (sizeG: number): number => Math.max(LIMITS.matchG, LIMITS.matchShare * sizeG);

/** What was poured on by hand, g. */
export function pouredG(ledger: Ledger): number {
  return ledger.reduce(
    (sum, { kind, stepG }) => (kind === 'water' ? sum + Math.max(0, stepG) : sum),
    0,
  );
}

/** How far both steps are from being one thing, once put on and once taken off, g; infinite when they are not. */
function missG(a: number, b: number): number {
  const offG = Math.abs(a + b);
  const opposite = a * b < 0 && offG <= matchG(Math.max(Math.abs(a), Math.abs(b)));
  return opposite ? offG : Number.POSITIVE_INFINITY;
}

/** More than this cannot be tray and water: the wool holds no more for long. NaN while unknown. */
function mostG({ capacityG, dryG }: Possible): number {
  return capacityG + LIMITS.overfillShare * (capacityG - dryG);
}

/** What a step took back, and how far they are from being the same, g. */
interface TakenBack {
  readonly steps: Ledger;
  readonly offG: number;
}

/** What may have come or gone in one: a thing; or several things at once, the last that came and went. The youngest first. */
function inOne(ledger: Ledger): readonly Ledger[] {
  const things = ledger.filter(isThing);
  return [...youngest(things), ...lastOnes(things)];
}

const youngest = (steps: Ledger): readonly Ledger[] => steps.map((step) => [step]).reverse();
const lastOnes = (steps: Ledger): readonly Ledger[] =>
  steps.map((_, i) => steps.slice(i)).reverse();
/**
 * What a step of `stepG` takes back: things, or water that was a thing all along; or several things together with what
 * was taken for water among them. Null when it is none.
 */
function takenBack(ledger: Ledger, stepG: number): TakenBack | null {
  const things = ledger.filter(isThing);
  const water = ledger.filter(({ kind }) => kind === 'water');
  const known = ledger.filter(({ kind }) => kind !== 'tray');
  const candidates = [youngest(things), youngest(water), lastOnes(things), lastOnes(known)].flat();
  for (const steps of candidates) {
    const offG = missG(sumG(steps), stepG);
    if (offG < Number.POSITIVE_INFINITY) return { steps, offG };
  }
  return null;
}

/** A step of the weight that no dose explains. */
export interface Change {
  readonly stepG: number;
  /** Weight as read at its end, g; and the tray with its water before it. */
  readonly afterG: number;
  readonly waterG: number;
  readonly uptimeMs: number;
  /** For how long nobody had weighed the tray when it was found, ms; infinite after a power cut. */
  readonly unseenMs: number;
  /** What it lost just before that, by drying or not, g/ms. */
  readonly losesGPerMs: number;
  /** By how much it was reckoned to have dried meanwhile, g: that is no part of the step. */
  readonly reckonedG: number;
}

/** Books a step. */
export function book(ledger: Ledger, change: Change, possible: Possible): Ledger {
  const { stepG, afterG, waterG, uptimeMs } = change;
  if (Math.abs(stepG) <= LIMITS.restlessG) return ledger;
  const entry = (kind: StepKind, ofG = stepG): Step => ({
    kind,
    stepG: ofG,
    afterG,
    atMs: uptimeMs,
  });
  if (isTrayAway(ledger)) {
    const there = withTrayBack(ledger, afterG, waterG, possible, uptimeMs);
    if (there !== null) return bounded(withGain(there, change));
  }
  const back = takenBack(ledger, stepG);
  const left = leftByTray(ledger, stepG, waterG, back);
  if (left !== null) return bounded([...left, entry('tray')]);
  if (back !== null) return without(withRoom(ledger, back.steps, mostG(possible)), back.steps);
  if (isTrayAway(ledger)) return bounded([...ledger, entry(stepG < 0 ? 'off' : 'on')]);
  const heavier = foundHeavier(ledger, change, possible);
  if (heavier !== null) return bounded(heavier);
  // What was taken off before may have been something else: no tray weighs more than the scale says.
  const leftG = Math.min(waterG + stepG, afterG);
  const isGone = stepG < 0 && leftG < possible.dryG * (1 - LIMITS.absentShare);
  if (isGone) return bounded([...ledger, entry('tray')]);
  const dried = driedUnseen(ledger, [EMPTY_LEDGER, ...inOne(ledger)], change, possible);
  if (dried !== null) return dried;
  const replaced = replacedUnseen(ledger, change);
  if (replaced !== null) return bounded(replaced);
  if (stepG < 0) {
    const isFlood =
      isOfFlood(-stepG, waterG, possible) || hasStoodInFlood(ledger, change, possible);
    return bounded([...ledger, entry(isFlood ? 'water' : 'off')]);
  }
  // What was taken off comes back first; only the rest can be water.
  const owedG = -Math.min(
    0,
    ledger.reduce((sum, s) => (s.kind === 'off' ? sum + s.stepG : sum), 0),
  );
  const paysBack = owedG > 0 && stepG > owedG;
  const kept = paysBack ? ledger.filter(({ kind }) => kind !== 'off') : ledger;
  const restG = paysBack ? stepG - owedG : stepG;
  if (restG <= LIMITS.matchG) return kept;
  // A thing comes whole, and goes so again.
  const impossible = waterG + restG > mostG(possible);
  if (!impossible) return bounded([...kept, entry('water', restG)]);
  const found = change.unseenMs === Number.POSITIVE_INFINITY;
  return bounded([...ledger, found ? { ...entry('on'), found } : entry('on')]);
}

/** What a flooded tray loses first is the flood: it is tipped, or set down again while it runs off. */
function isOfFlood(lostG: number, waterG: number, { capacityG }: Possible): boolean {
  return lostG <= waterG - capacityG + matchG(lostG);
}

/**
 * What was put on while a flood ran off passed for a part of it. It shows as it is taken off: an hour after the flood the tray
 * still weighed more than it holds, and without the thing it has dried by no more than wool may since.
 */
function hasStoodInFlood(
  ledger: Ledger,
  { stepG, waterG, uptimeMs }: Change,
  possible: Possible,
): boolean {
  const lostG = -stepG;
  const flood = ledger
    .filter(({ flowed, stepG: ofG }) => flowed && ofG >= lostG - matchG(lostG))
    .at(-1);
  if (flood === undefined || waterG <= mostG(possible)) return false;
  const sinceMs = uptimeMs - flood.atMs;
  const driedG = driedShare(sinceMs) * (possible.capacityG - possible.dryG);
  return sinceMs >= LIMITS.standsMs && possible.capacityG - (waterG - lostG) <= driedG;
}

/**
 * A tray that is lifted leaves what stood beside it: the fall, `stepG`, is the weight of the tray and its water, and more
 * nearly than that of things which it may have taken back. Or what is left came as water did: then it is known as a thing.
 * Returns what is left; null where the fall is something else.
 */
function leftByTray(
  ledger: Ledger,
  stepG: number,
  waterG: number,
  back: TakenBack | null,
): Ledger | null {
  if (stepG >= 0 || isTrayAway(ledger)) return null;
  const leftG = waterG + stepG;
  const nearerG = back?.offG ?? Number.POSITIVE_INFINITY;
  if (Math.abs(leftG) <= LIMITS.matchG && Math.abs(leftG) < nearerG) return ledger;
  if (back !== null) return null;
  const isLeft = ({ kind, stepG: ofG }: Step): boolean =>
    kind === 'water' && Math.abs(ofG - leftG) <= matchG(leftG);
  const left = ledger.find(isLeft);
  if (left === undefined) return null;
  return ledger.map((step) => (step === left ? { ...step, kind: 'on' } : step));
}

/** Whether a fall by `stepG`, still under way or not, leaves only what stood beside a tray of `waterG` with its water, g. */
export function isTrayLifted(ledger: Ledger, stepG: number, waterG: number): boolean {
  return leftByTray(ledger, stepG, waterG, takenBack(ledger, stepG)) !== null;
}

const isThing = ({ kind }: Step): boolean => kind === 'off' || kind === 'on';

/** What a tray may have dried by, as a share of its water, in so long beside the scale. */
function awayDriedShare(awayMs: number): number {
  return Math.min(LIMITS.awayDriedShare + driedShare(awayMs), LIMITS.awayDriedMostShare);
}

/** A tray whose weights nobody knows holds what it went with. */
function asFarAsKnown({ capacityG, dryG }: Possible, waterG: number): Possible {
  return {
    capacityG: Number.isNaN(capacityG) ? waterG : capacityG,
    dryG: Number.isNaN(dryG) ? 0 : dryG,
  };
}

/**
 * The tray is back when what stands there now can be it: hardly drier than it went, and not more than it holds, or than
 * the flood in it as it went - it may have been soaked meanwhile. What stood on it may have been taken off beside the scale, or was water that ran out
 * there: whichever leaves it more as it went. What was taken for water may have been a thing, if nothing else fits. Null
 * when it is something else.
 */
function withTrayBack(
  ledger: Ledger,
  afterG: number,
  waterG: number,
  possible: Possible,
  uptimeMs: number,
): Ledger | null {
  const wentMs = ledger.find(({ kind }) => kind === 'tray')?.atMs ?? uptimeMs;
  const holds = asFarAsKnown(possible, waterG);
  const driedG = awayDriedShare(uptimeMs - wentMs) * (holds.capacityG - holds.dryG);
  // What it had above its capacity runs off beside the scale, all of it or not yet.
  const heldG = Math.min(waterG, holds.capacityG);
  const mostBackG = Math.max(mostG(holds), waterG + LIMITS.matchG);
  const gainedG = (rest: Ledger): number => afterG - foreignG(rest) - heldG;
  const canBe = (rest: Ledger, lessG: number): boolean =>
    gainedG(rest) >= -driedG - lessG && gainedG(rest) <= mostBackG - heldG;
  const asItWent = ledger.filter(({ kind }) => kind !== 'tray');
  const cleared = asItWent.filter(({ kind }) => kind !== 'on');
  const fits = [asItWent, cleared].filter((rest) => canBe(rest, 0));
  const [first, second] = fits;
  if (first !== undefined) {
    const nearer = second !== undefined && Math.abs(gainedG(second)) < Math.abs(gainedG(first));
    return nearer ? second : first;
  }
  const drained = cleared.filter(({ kind }) => kind !== 'water');
  return canBe(drained, pouredG(cleared)) ? drained : null;
}

/** What a tray that is back weighs more than it went: water that it got beside the scale, or a thing that came with it. */
function withGain(ledger: Ledger, { afterG, waterG, uptimeMs }: Change): Ledger {
  const stepG = afterG - foreignG(ledger) - waterG;
  if (stepG <= LIMITS.matchG) return ledger;
  return [...ledger, { kind: 'water', stepG, afterG, atMs: uptimeMs, found: true }];
}

/** Water that ran in, more than the wool holds or not: no thing comes so gently. */
export function flowedIn(ledger: Ledger, stepG: number, afterG: number, atMs: number): Ledger {
  return bounded([...ledger, { kind: 'water', stepG, afterG, atMs, flowed: true }]);
}

/** No longer than it may be: water is forgotten first, then the two oldest things become one. */
function bounded(ledger: Ledger): Ledger {
  if (ledger.length <= LIMITS.ledgerMax) return ledger;
  const dry = ledger.findIndex(({ kind }) => kind === 'water');
  if (dry >= 0) return ledger.filter((_, i) => i !== dry);
  const [first, second, ...rest] = ledger;
  if (first === undefined || second === undefined) return ledger;
  const stepG = first.stepG + second.stepG;
  const isTray = first.kind === 'tray' || second.kind === 'tray';
  return [{ ...second, stepG, kind: isTray ? 'tray' : stepG < 0 ? 'off' : 'on' }, ...rest];
}

/** The same steps read by another calibration: all masses times `factor`. */
export function rescaled(ledger: Ledger, factor: number): Ledger {
  return ledger.map((step) => ({
    ...step,
    stepG: step.stepG * factor,
    afterG: step.afterG * factor,
  }));
}
