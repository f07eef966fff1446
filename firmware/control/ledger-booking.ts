/** What a step of the weight is taken for, by what it weighs and by what is known of the tray. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  bounded,
  type Change,
  departed,
  EMPTY_LEDGER,
  foreignG,
  isTrayAway,
  type Ledger,
  matchG,
  mayHaveGone,
  mostG,
  type Possible,
  type Step,
  type StepKind,
  sumG,
  takenFor,
} from './ledger';
import { stayedBeside, withTrayAndGain } from './ledger-away';
import { cameInFlood, hasStoodInFlood, isOfFlood } from './ledger-flood';
import { withRoom } from './ledger-room';
import {
  driedShare,
  driedUnseen,
  foundAsWater,
  foundOther,
  foundWithin,
  foundWithLoss,
  hidLoss,
  replacedUnseen,
} from './ledger-unseen';

/** Books a step. */
export function book(ledger: Ledger, change: Change, possible: Possible): Ledger {
  const { stepG, afterG, waterG, uptimeMs } = change;
  if (Math.abs(stepG) <= LIMITS.restlessG) return ledger;
  const found = foundWithin(change, possible);
  const entry = (kind: StepKind, ofG = stepG): Step => ({
    kind,
    stepG: ofG,
    afterG,
    atMs: uptimeMs,
    ...(found && { found }),
  });
  if (isTrayAway(ledger)) {
    const there = withTrayAndGain(ledger, change, possible);
    if (there !== null) return bounded(there);
  }
  const back = takenBack(ledger, stepG) ?? takenWithLoss(ledger, change, possible);
  const left = leftByTray(ledger, stepG, waterG, back);
  if (left !== null) return bounded([...left, entry('tray')]);
  if (back !== null) return withTaken(ledger, back, change, possible);
  if (isTrayAway(ledger)) return bounded([...ledger, entry(stepG < 0 ? 'off' : 'on')]);
  const other = foundAsWater(ledger, change) ?? foundOther(ledger, change, possible);
  if (other !== null) return bounded(other);
  // What was taken off before may have been something else: no tray weighs more than the scale says.
  const leftG = Math.min(waterG + stepG, afterG);
  const isGone = stepG < 0 && leftG < possible.dryG * (1 - LIMITS.absentShare);
  if (isGone) return bounded([...ledger, entry('tray')]);
  const replaced = replacedUnseen(ledger, change, possible);
  // On a bare mat nothing dries.
  const mayHaveDried = replaced === null || !change.isMatBare;
  const steps = [EMPTY_LEDGER, ...inOne(ledger)];
  const dried = mayHaveDried ? driedUnseen(ledger, steps, change, possible) : null;
  if (dried !== null) return dried;
  if (replaced !== null) return bounded(replaced);
  if (stepG < 0) return bounded(withFall(ledger, change, possible, entry));
  return withRise(ledger, change, possible, entry);
}

/**
 * The flood, what had stood in it, alone or with things that stood there besides, what had come as the tray was found, or
 * another thing taken off: the tray, which is
 * there, weighs less. `entry` makes a step of it.
 */
function withFall(
  ledger: Ledger,
  change: Change,
  possible: Possible,
  entry: (kind: StepKind, ofG?: number) => Step,
): Ledger {
  const { stepG } = change;
  if (isOfFlood(change, possible)) return [...ledger, entry('water')];
  for (const things of [EMPTY_LEDGER, ...inOne(ledger.filter(({ kind }) => kind === 'on'))]) {
    const restG = stepG + sumG(things);
    if (restG < -matchG(-stepG) && hasStoodInFlood(ledger, { ...change, stepG: restG }, possible))
      return [...departed(ledger, things), entry('water', restG)];
  }
  const wasThing = foundWithLoss(ledger, change, possible) ?? cameInFlood(ledger, change);
  if (wasThing !== null) return wasThing;
  return hidLoss(ledger, change, possible) ? ledger : [...ledger, entry('off')];
}

/** What was taken off before, water, or a thing: the tray, which is there, weighs more. `entry` makes a step of it. */
function withRise(
  ledger: Ledger,
  change: Change,
  possible: Possible,
  entry: (kind: StepKind, ofG?: number) => Step,
): Ledger {
  const { stepG, waterG } = change;
  // What was taken off comes back first; only the rest can be water.
  const owedG = Math.max(0, -sumG(ledger.filter(({ kind }) => kind === 'off')));
  const paysBack = owedG > 0 && stepG > owedG;
  const kept = paysBack ? ledger.filter(({ kind }) => kind !== 'off') : ledger;
  const restG = paysBack ? stepG - owedG : stepG;
  if (restG <= LIMITS.matchG) return kept;
  // A thing comes whole, and goes so again.
  const impossible = waterG + restG > mostG(possible);
  if (!impossible) {
    const water = entry('water', restG);
    return bounded([...kept, paysBack ? { ...water, paidG: owedG } : water]);
  }
  const stands = foundStanding(ledger, change, possible);
  if (stands === null) return bounded([...ledger, entry('on')]);
  return bounded(stands.isBack ? stands.ledger : [...stands.ledger, entry('water')]);
}

/**
 * More came than can be water, on a tray from which a thing may have gone unseen: that is back; or it never went, and there
 * was room for what came. Null where it is neither.
 */
function foundStanding(
  ledger: Ledger,
  { stepG, waterG }: Change,
  possible: Possible,
): { readonly ledger: Ledger; readonly isBack: boolean } | null {
  for (const gone of youngest(mayHaveGone(ledger))) {
    const isBack = Math.abs(stepG - sumG(gone)) <= matchG(stepG);
    const hasRoom = waterG - sumG(gone) + stepG <= mostG(possible);
    if (isBack || hasRoom) return { ledger: takenFor(ledger, gone, 'on'), isBack };
  }
  return null;
}

/**
 * A tray that is lifted leaves what stood beside it: the fall, `stepG`, is the weight of the tray and its water; or some of
 * the things lay in the tray and went with it, and what is left weighs what the others do. Or what is left came as water
 * did: then it is known as a thing. Any of it more nearly than the fall is what may have been taken back. Returns what is
 * left; null where the fall is something else.
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
  const besideG = leftG + foreignG(ledger);
  const beside = stayedBeside(ledger, besideG);
  if (beside !== null && Math.abs(sumG(beside) - besideG) < nearerG) return ledger;
  const isLeft = ({ kind, stepG: ofG }: Step): boolean => {
    const offG = Math.abs(ofG - leftG);
    return (kind === 'water' || kind === 'gone') && offG <= matchG(leftG) && offG < nearerG;
  };
  const left = ledger.find(isLeft);
  if (left === undefined) return null;
  return takenFor(ledger, [left], 'on');
}

/** Whether a fall by `stepG`, still under way or not, leaves only what stood beside a tray of `waterG` with its water, g. */
export function isTrayLifted(ledger: Ledger, stepG: number, waterG: number): boolean {
  // Asked at each tick of a hand: what was taken back takes longer to tell.
  if (stepG >= 0) return false;
  return leftByTray(ledger, stepG, waterG, takenBack(ledger, stepG)) !== null;
}

/** How far both steps are from being one thing, once put on and once taken off, g; infinite when they are not. */
function missG(a: number, b: number): number {
  const offG = Math.abs(a + b);
  const opposite = a * b < 0 && offG <= matchG(Math.max(Math.abs(a), Math.abs(b)));
  return opposite ? offG : Number.POSITIVE_INFINITY;
}

/** What a step took back, and how far they are from being the same, g; and what is taken off again with them, g. */
interface TakenBack {
  readonly steps: Ledger;
  readonly offG: number;
  readonly owedG: number;
}

/**
 * The steps but for what was taken back; what had come back with it is off again. Where nobody weighed the tray and it may
 * have dried by all of that, what had passed for water may stand there still, and stays: the water is the same.
 */
function withTaken(
  ledger: Ledger,
  { steps, owedG }: TakenBack,
  change: Change,
  possible: Possible,
): Ledger {
  const mayHaveDried = change.unseenMs > 0 && owedG === 0;
  const mayStand = mayHaveDried && driedUnseen(ledger, [EMPTY_LEDGER], change, possible) !== null;
  if (mayStand) {
    const things = steps.filter(({ kind }) => kind !== 'water');
    return departed(ledger, things);
  }
  const offAgain = ({ paidG = 0, atMs }: Step): Ledger =>
    owedG > 0 && paidG > 0 ? [{ kind: 'off', stepG: -paidG, afterG: Number.NaN, atMs }] : [];
  return departed(withRoom(ledger, steps, mostG(possible)), steps, offAgain);
}

/** What may have come or gone in one: a thing; or several things at once, the last that came and went. The youngest first. */
function inOne(ledger: Ledger): readonly Ledger[] {
  const things = ledger.filter(isThing);
  return [...youngest(things), ...lastOnes(things)];
}

const youngest = (steps: Ledger): readonly Ledger[] => steps.map((step) => [step]).reverse();
const lastOnes = (steps: Ledger): readonly Ledger[] =>
  steps.map((_, i) => steps.slice(i)).reverse();
/** What came one after another, and more after it. */
const runsBefore = (steps: Ledger): readonly Ledger[] =>
  steps.slice(2).flatMap((_, i) => lastOnes(steps.slice(0, i + 2)).slice(1));

/**
 * What a step of `stepG` takes back: things, or water that was a thing all along; or several things together with what
 * was taken for water among them, the last that came or some before: what was poured after them stays. Or what may have gone
 * unseen, and had not, alone or with the things that stood there. Null when it is none.
 */
function takenBack(ledger: Ledger, stepG: number): TakenBack | null {
  const things = ledger.filter(isThing);
  const water = ledger.filter(({ kind }) => kind === 'water');
  const known = ledger.filter(({ kind }) => kind !== 'tray' && kind !== 'gone');
  const gone = mayHaveGone(ledger);
  const stood = ledger.filter(({ kind }) => kind === 'on' || kind === 'gone');
  const one = [youngest(things), youngest(water)].flat();
  const several = [lastOnes(things), lastOnes(known), runsBefore(known)].flat();
  const unseen = gone.length === 0 ? [] : [youngest(gone), lastOnes(stood)].flat();
  const candidates = [...one, ...several, ...unseen];
  for (const steps of candidates) {
    const paidG = steps.reduce((sum, step) => sum + (step.paidG ?? 0), 0);
    for (const owedG of paidG > 0 ? [0, paidG] : [0]) {
      const offG = missG(sumG(steps) + owedG, stepG);
      if (offG < Number.POSITIVE_INFINITY) return { steps, offG, owedG };
    }
  }
  return null;
}

const isThing = ({ kind }: Step): boolean => kind === 'off' || kind === 'on';

/**
 * A thing taken off a tray that lost water meanwhile: some of what stood above its container capacity ran off, or it dried
 * while hands were there, by more or less than was reckoned, for on a scale that trembles nobody sees it. The fall is both
 * together. The thing that leaves least to have been lost is believed; null where the flood alone explains it, or none does.
 */
function takenWithLoss(ledger: Ledger, change: Change, possible: Possible): TakenBack | null {
  const { stepG, waterG, handMs } = change;
  const { capacityG, dryG } = possible;
  const driesG = driedShare(handMs) * (capacityG - dryG);
  const mostG = Math.max(0, waterG - capacityG) + driesG;
  if (stepG >= 0 || isTrayAway(ledger) || isOfFlood(change, possible)) return null;
  let least: TakenBack | null = null;
  for (const thing of ledger) {
    const lostG = -stepG - thing.stepG;
    const isBoth = thing.kind === 'on' && lostG >= -driesG && lostG <= mostG;
    if (isBoth && Math.abs(lostG) < (least?.offG ?? Number.POSITIVE_INFINITY))
      least = { steps: [thing], offG: Math.abs(lostG), owedG: 0 };
  }
  return least;
}
