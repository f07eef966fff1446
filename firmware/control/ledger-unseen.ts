/**
 * What the tray lost or got while nobody weighed it, beside the things that came or went meanwhile: a step over such a time
 * is both together. Pure; the steps themselves are booked in `ledger-booking.ts`.
 */
import { HOUR_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  type Change,
  departed,
  FOUND_ANYHOW,
  type Found,
  type Ledger,
  type Possible,
  pouredG,
  type Step,
  sumG,
  takenFor,
} from './ledger';

/** What wool may dry by in so long at most, as a share of its water. */
export const driedShare = (ms: number): number =>
  Math.min(LIMITS.awayDriedSharePerH * (ms / HOUR_MS), LIMITS.awayDriedMostShare);

/**
 * What the tray may have lost while nobody weighed it, g: what dries in so long, its flood, and what it lost just before or
 * just after at the same pace; all of its water where nobody knows how long it was; and where more is missing than
 * is taken off a tray, what a cloth over the rim draws in so long.
 */
function lostUnseenG(change: Change, { capacityG, dryG }: Possible): number {
  const { unseenMs, waterG, losesGPerMs } = change;
  if (unseenMs === Number.POSITIVE_INFINITY) return waterG - dryG;
  const driesG = driedShare(unseenMs) * (capacityG - dryG);
  const floodG = unseenMs >= LIMITS.lostUnseenMs ? Math.max(0, waterG - capacityG) : 0;
  const isDrawn = isMissing(change, LIMITS.goesMostG);
  const drawnG = isDrawn ? LIMITS.drawnMostGPerH * (unseenMs / HOUR_MS) : 0;
  const leaksG = driesG + losesGPerMs * unseenMs;
  return Math.max(driesG, Math.min(waterG - dryG, floodG + Math.max(leaksG, drawnG)));
}

/** More than `mostG` is missing after a time in which nobody weighed the tray. */
function isMissing({ stepG, unseenMs }: Change, mostG: number): boolean {
  return -stepG > mostG && unseenMs >= LIMITS.lostUnseenMs;
}

/**
 * Most that may have been taken off a tray while nobody weighed it, g: no lid weighs more than the dry tray that it stands on;
 * with it goes what stood there besides, or passed for water as it came.
 */
function mostTakenG(ledger: Ledger, { dryG }: Possible): number {
  const thingsG = sumG(ledger.filter(({ kind }) => kind === 'on'));
  return Math.min(LIMITS.lidMostG, dryG + thingsG + pouredG(ledger));
}

/**
 * More is missing than a lid weighs, and than the tray can have lost while nobody weighed it: it went meanwhile, and what
 * stands there now is a thing in its place. Null where it cannot have been so.
 */
export function replacedUnseen(ledger: Ledger, change: Change, possible: Possible): Ledger | null {
  return isMissing(change, mostTakenG(ledger, possible)) ? withOtherInPlace(ledger, change) : null;
}

/** The tray went, and what stands there now is a thing in its place. */
export function withOtherInPlace(
  ledger: Ledger,
  { stepG, waterG, afterG, uptimeMs: atMs }: Change,
): Ledger {
  const went: Step = { kind: 'tray', stepG: -waterG, afterG: afterG - waterG - stepG, atMs };
  return [...ledger, went, { kind: 'on', stepG: waterG + stepG, afterG, atMs }];
}

/**
 * The ledger after a step over a time in which nobody weighed the tray: it dried, and of `mayHaveGone` one may have come or
 * gone besides. What leaves least to have dried is believed; or that it got water meanwhile as a thing went, where it had to
 * dry by far more otherwise and by how much it dries is known. Null when none of it can be. A thing that went so may stand there
 * still, where the tray may have dried by all of it as well.
 */
export function driedUnseen(
  ledger: Ledger,
  mayHaveGone: readonly Ledger[],
  change: Change,
  possible: Possible,
): Ledger | null {
  const { stepG, unseenMs, reckonedG } = change;
  const mostG = lostUnseenG(change, possible);
  const knowsPace = unseenMs < Number.POSITIVE_INFINITY && stepG < 0;
  const standsG = LIMITS.overfillShare * (possible.capacityG - possible.dryG);
  const mostGainedG = Math.max(LIMITS.matchG, knowsPace ? Math.min(mostG, standsG) : 0);
  let leastG = mostG;
  let rest: Ledger | null = null;
  for (const steps of mayHaveGone) {
    const driedG = -(stepG + sumG(steps));
    // To have dried by less than was reckoned is no gain.
    const shortG = knowsPace ? Math.max(0, Math.min(-driedG, reckonedG)) : 0;
    const lostG = driedG + shortG;
    const believedG = shortG + (lostG < -LIMITS.matchG ? -lostG * LIMITS.gainedUnseenTimes : lostG);
    if (-lostG > mostGainedG || believedG > leastG) continue;
    leastG = believedG;
    const mayStand = -stepG <= mostG && steps.every(({ kind }) => kind === 'on');
    rest = mayStand ? takenFor(ledger, steps, 'gone') : departed(ledger, steps);
  }
  return rest;
}

/**
 * By how much a step over a time in which nobody weighed the tray may be off, as what it dried meanwhile is not known better;
 * null where that is no more than one thing may seem another by.
 */
export function foundWithin(change: Change, possible: Possible): Found | null {
  const { unseenMs, reckonedG } = change;
  if (unseenMs === Number.POSITIVE_INFINITY) return FOUND_ANYHOW;
  const moreG = Math.max(0, lostUnseenG(change, possible) - reckonedG);
  return Math.max(moreG, reckonedG) > LIMITS.matchG ? { moreG, lessG: reckonedG } : null;
}

/**
 * A thing that was found weighs other than it seemed, by what the tray had lost meanwhile, or got. That shows as it goes
 * again, alone or with others that came one after another; or, where it stands on the tray, as the tray is taken off and it
 * stays, by more than any lid weighs: whichever is the least hard to believe. Null when it is none of these.
 */
export function foundOther(ledger: Ledger, change: Change, possible: Possible): Ledger | null {
  const { stepG, waterG, afterG, uptimeMs } = change;
  const isThing = ({ kind }: Step): boolean => (stepG < 0 ? kind === 'on' : kind === 'off');
  const things = ledger.filter(isThing);
  const thing = things.filter(({ found }) => found !== undefined).at(-1);
  if (thing?.found === undefined) return null;
  const { found, ...seen } = thing;
  const believedG = (lostG: number): number => believedLostG(lostG, found, waterG, possible);
  let leastG = Number.POSITIVE_INFINITY;
  let went: Ledger = things;
  for (const steps of inARowWith(things, thing)) {
    const withStepsG = believedG(-stepG - sumG(steps));
    if (withStepsG >= leastG) continue;
    leastG = withStepsG;
    went = steps;
  }
  const lostByTrayG = waterG + stepG;
  const byTrayG = -stepG > LIMITS.lidMostG ? believedG(lostByTrayG) : Number.POSITIVE_INFINITY;
  if (Math.min(leastG, byTrayG) === Number.POSITIVE_INFINITY) return null;
  if (leastG <= byTrayG) return departed(ledger, went);
  const other: Step = { ...seen, stepG: thing.stepG + lostByTrayG };
  const lifted: Step = { kind: 'tray', stepG, afterG, atMs: uptimeMs };
  return [...ledger.map((step) => (step === thing ? other : step)), lifted];
}

/** A thing alone, then with others of `things` that came one after another, the fewest before it first. */
function inARowWith(things: Ledger, thing: Step): readonly Ledger[] {
  const at = things.indexOf(thing);
  const ends = things.map((_, i) => i + 1).slice(at);
  const starts = things.map((_, i) => at - i).slice(0, at + 1);
  return starts.flatMap((start) => ends.map((end) => things.slice(start, end)));
}

/**
 * What passed for water as it was found is known for a thing as it goes again, by about what it seemed: the tray dried
 * meanwhile as well, or got a dose. Null where it is something else that goes.
 */
export function foundAsWater(ledger: Ledger, { stepG }: Change): Ledger | null {
  const water = waterFound(ledger);
  if (water === null) return null;
  const isSame = Math.abs(stepG + water.stepG) <= LIMITS.foundWaterShare * water.stepG;
  return isSame ? departed(ledger, [water]) : null;
}

/**
 * What passed for water as it was found is known for a thing also as more goes, by no more than the tray may have lost before it
 * was found: so much of the thing was hidden. In doubt the tray is the drier: where it lacked another
 * thing, what it lost would be hidden for good. Null where it cannot be so.
 */
export function foundWithLoss(
  ledger: Ledger,
  { stepG, waterG }: Change,
  { dryG }: Possible,
): Ledger | null {
  const water = waterFound(ledger);
  if (water === null) return null;
  const hidG = -stepG - water.stepG;
  const canBe = hidG > 0 && hidG <= water.found.moreG && waterG + stepG >= dryG;
  return canBe ? departed(ledger, [water]) : null;
}

/** What the tray lost while nobody weighed it, and a thing that came meanwhile may hide. */
export interface Hidden {
  /** At most, g. */
  readonly mostG: number;
  /** Uptime as it was weighed again, ms. */
  readonly atMs: number;
}

/** A tray whose weights are known, and what it lost last, g/ms. */
type Losing = Possible & Pick<Change, 'losesGPerMs' | 'uptimeMs'>;

/** What it dries by in so long at most, and loses on, g. */
const losesInG = (ms: number, { capacityG, dryG, losesGPerMs }: Losing): number =>
  driedShare(ms) * (capacityG - dryG) + losesGPerMs * ms;

/**
 * What a tray may hide that was found at `uptimeMs` after so long in which nobody weighed it, and what it hid already: a cloth
 * may have drawn from it. As before where that was too short.
 */
export function hiddenSince(
  before: Hidden | null,
  unseenMs: number,
  losing: Losing,
): Hidden | null {
  const { uptimeMs: atMs } = losing;
  if (unseenMs < LIMITS.lostUnseenMs) return before;
  if (unseenMs === Number.POSITIVE_INFINITY) return { mostG: unseenMs, atMs };
  const drawnG = LIMITS.drawnMostGPerH * (unseenMs / HOUR_MS);
  return { mostG: hiddenG(before, atMs) + Math.max(losesInG(unseenMs, losing), drawnG), atMs };
}

/**
 * The same of one that is back after so long beside its scale: there a cloth hangs where it was seen to. What was taken from it
 * within an hour or two is no thing that came meanwhile, but a piece of its own.
 */
export function hiddenBeside(
  before: Hidden | null,
  besideMs: number,
  losing: Losing,
): Hidden | null {
  const { uptimeMs: atMs } = losing;
  if (besideMs < LIMITS.lostUnseenMs) return before;
  return { mostG: hiddenG(before, atMs) + losesInG(besideMs, losing), atMs };
}

/** Most that it may hide now, g; 0 where nothing. */
export function hiddenG(hidden: Hidden | null, uptimeMs: number): number {
  if (hidden === null || uptimeMs - hidden.atMs > LIMITS.hidesMs) return 0;
  return hidden.mostG;
}

/**
 * What is taken off a tray soon after a time in which nobody weighed it came in that time, and hid what the tray had dried by,
 * where it weighs more than is taken off a tray, and no more than that may have lost; but not where another was found. In
 * doubt the tray is the drier.
 */
export function hidLoss(
  ledger: Ledger,
  { stepG, waterG, hidesG }: Change,
  { dryG }: Possible,
): boolean {
  if (ledger.some(({ found }) => found !== undefined)) return false;
  return -stepG > LIMITS.goesMostG && -stepG <= hidesG && waterG + stepG >= dryG;
}

type FoundStep = Step & { readonly found: Found };

/** What passed for water as it was found last. */
function waterFound(ledger: Ledger): FoundStep | null {
  const isFound = (step: Step): step is FoundStep =>
    step.kind === 'water' && step.found !== undefined;
  const water = ledger.filter(isFound).at(-1);
  return water !== undefined && water.stepG > 0 ? water : null;
}

/**
 * How hard it is to believe that a tray of `waterG` lost `lostG` more than was reckoned before a thing was found on it, g; or
 * less, that it got water: no more than its wool had room for, nor than stands above it. Infinite where it cannot have been.
 */
function believedLostG(
  lostG: number,
  { moreG, lessG }: Found,
  waterG: number,
  { capacityG, dryG }: Possible,
): number {
  if (lostG > Math.min(moreG, waterG - dryG)) return Number.POSITIVE_INFINITY;
  if (lostG >= -lessG) return Math.abs(lostG);
  const standsG = LIMITS.overfillShare * (capacityG - dryG);
  const mostGotG = Math.min(standsG, capacityG - waterG + LIMITS.matchG);
  return -lostG <= mostGotG ? -lostG * LIMITS.gainedUnseenTimes : Number.POSITIVE_INFINITY;
}
