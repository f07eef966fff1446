/** A tray that comes back on its scale: whether what stands there now can be it, and what it weighs more than it went. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  type Change,
  foreignG,
  hasPoured,
  isTrayAway,
  type Ledger,
  matchG,
  mayHaveGone,
  mostG,
  type Possible,
  pouredG,
  type Step,
  sumG,
  thingOnG,
  without,
} from './ledger';
import { driedShare } from './ledger-unseen';

/** For how long a tray was beside the scale, ms; and what it lost as it went, or as it comes back, g/ms. */
interface Beside {
  readonly awayMs: number;
  readonly losesGPerMs: number;
}

/** What a tray may have dried by, as a share of its water, in so long beside the scale. */
function awayDriedShare(awayMs: number): number {
  return Math.min(LIMITS.awayDriedShare + driedShare(awayMs), LIMITS.awayDriedMostShare);
}

/** A tray whose weights nobody knows holds what it went with: a dry weight alone may be that of moist wool. */
function asFarAsKnown(possible: Possible, waterG: number): Possible {
  return Number.isNaN(possible.capacityG) ? { capacityG: waterG, dryG: 0, plantsG: 0 } : possible;
}

/** There is too little on the scale, besides the largest thing, to be the tray. */
export function isAbsent(ledger: Ledger, grams: number, dryG: number): boolean {
  return grams - thingOnG(ledger) < dryG * (1 - LIMITS.absentShare);
}

/**
 * Whether `fellG`, gone at once from a tray of `waterG` with its water, is more than may go from it: a lid, what stands on
 * it, and what was poured or its flood: where something of what was poured was a thing, there is by as much less flood.
 */
export function isMoreThanGoes(
  ledger: Ledger,
  fellG: number,
  waterG: number,
  possible: Possible,
): boolean {
  const thingsG = sumG(ledger.filter(({ kind }) => kind === 'on'));
  const floodG = Math.max(0, waterG - asFarAsKnown(possible, waterG).capacityG);
  return fellG > LIMITS.lidMostG + thingsG + Math.max(pouredG(ledger), floodG);
}

/**
 * What a cloth over its rim draws on from a tray of `waterG` beside the scale, g, where it was seen to draw as the tray went:
 * a fall that no evaporation reaches, of what the wool holds. A flood that runs off ends, and a leak takes no more than that.
 */
function drawnBesideG(waterG: number, capacityG: number, { awayMs, losesGPerMs }: Beside): number {
  const isDrawn = losesGPerMs > LIMITS.fallingG / LIMITS.fallingMs;
  return isDrawn && capacityG - waterG > LIMITS.matchG ? losesGPerMs * awayMs : 0;
}

/**
 * The least that a tray of `waterG` with its water may weigh after so long beside the scale, g, where what was poured on it,
 * or may stand on it, is `lessG` and went: no water dries that it did not hold, nor does it weigh less than dry, without
 * plants.
 */
function leastBackG(waterG: number, holds: Possible, beside: Beside, lessG: number): number {
  const { capacityG, dryG, plantsG } = holds;
  // What it had above its capacity runs off there, all of it or not yet; and what went of that is no loss besides.
  const heldG = Math.min(waterG - lessG, capacityG);
  const bareG = dryG - plantsG;
  const driedG = awayDriedShare(beside.awayMs) * (capacityG - dryG);
  const drawnG = drawnBesideG(waterG, capacityG, beside);
  return Math.max(heldG - driedG - drawnG, bareG - matchG(bareG));
}

/**
 * What of the water in the ledger may go from a tray besides what it dries by, g: what was poured, for it may have been a thing;
 * of what was no thing, what stands above a capacity that is known, and runs off: that is the tray's flood.
 */
function mayGoG(ledger: Ledger, possible: Possible): number {
  if (Number.isNaN(possible.capacityG)) return pouredG(ledger);
  return pouredG(without(ledger, ownWater(ledger, possible)));
}

/** The water that was no thing: what came gently, as no thing does, a soaking, and what was poured before that. */
export function ownWater(ledger: Ledger, possible: Possible): Ledger {
  const soakedAt = ledger.reduce((at, _, i) => (isSoaking(ledger, i, possible) ? i : at), -1);
  return ledger.filter(
    (step, i) => hasPoured(step) && (i <= soakedAt || (step.flowed && !step.ranOff)),
  );
}

/**
 * Whether the step at `i` is a soaking: water that filled much of the wool, and left the tray at its capacity, as near as that
 * is known. Few things that large weigh just what a tray lacks; and had a thing been among what came before, the tray would
 * stand above its capacity.
 */
function isSoaking(ledger: Ledger, i: number, { capacityG, dryG }: Possible): boolean {
  const step = ledger[i];
  if (step === undefined || !hasPoured(step) || step.ranOff) return false;
  const nearG = LIMITS.standsShare * (capacityG - dryG);
  const standsG = step.afterG - foreignG(ledger.slice(0, i));
  const fillsMuch = LIMITS.soakingStandsShare * step.stepG >= nearG;
  return fillsMuch && Math.abs(standsG - capacityG) <= nearG;
}

/**
 * Whether what stands there, `grams`, is not too light to be a tray of `waterG` that was so long beside the scale. Things on it
 * may have been taken off, and what was poured may have run out.
 */
export function mayBeBack(
  ledger: Ledger,
  grams: number,
  waterG: number,
  possible: Possible,
  beside: Beside,
): boolean {
  const missingG = foreignG(ledger.filter(({ kind }) => kind !== 'on'));
  const lessG = mayGoG(ledger, possible) + sumG(mayHaveGone(ledger));
  return grams - missingG >= leastBackG(waterG, asFarAsKnown(possible, waterG), beside, lessG);
}

/**
 * The things that stood beside a tray and stay as it goes, where the others lay in it and went too: those that weigh what is
 * left, `leftG`, most nearly. Null where none do.
 */
export function stayedBeside(ledger: Ledger, leftG: number): Ledger | null {
  const things = ledger.filter(({ kind }) => kind === 'on');
  const stays = (i: number, set: number): boolean => (set & (1 << i)) !== 0;
  let leastG: number = LIMITS.matchG;
  let nearest = 0;
  // At every tick with a hand on the tray: no set of them is made but the one that is told.
  for (let set = 1; set < 1 << things.length; set++) {
    const standsG = things.reduce((sum, { stepG }, i) => (stays(i, set) ? sum + stepG : sum), 0);
    const offG = Math.abs(standsG - leftG);
    if (offG > leastG) continue;
    leastG = offG;
    nearest = set;
  }
  return nearest === 0 ? null : things.filter((_, i) => stays(i, nearest));
}

/**
 * The tray is back when what stands there now can be it: hardly drier than it went, and not more than it holds, or than
 * the flood in it as it went - it may have been soaked meanwhile. What stood on it, or lay in it, may have been taken off
 * beside the scale, or was water that ran out there: whichever leaves it more as it went, a gain being harder to believe than a loss.
 * What was taken for water may have been a thing, if nothing else fits. Null when it is something else.
 */
function withTrayBack(ledger: Ledger, change: Change, possible: Possible): Ledger | null {
  const { afterG, waterG } = change;
  const went = wentAs(ledger);
  const beside = besideFor(ledger, change);
  const holds = asFarAsKnown(possible, waterG);
  const mostBackG = Math.max(mostG(holds), waterG + LIMITS.matchG);
  const heldG = Math.min(waterG, holds.capacityG);
  const standsG = (rest: Ledger): number => afterG - foreignG(rest);
  // It dries sooner than it gets water.
  const changedG = (rest: Ledger): number => {
    const gainedG = standsG(rest) - heldG;
    return gainedG > LIMITS.matchG ? gainedG * LIMITS.gainedUnseenTimes : Math.abs(gainedG);
  };
  const canBe = (rest: Ledger, lessG: number): boolean =>
    standsG(rest) >= leastBackG(waterG, holds, beside, lessG) && standsG(rest) <= mostBackG;
  const asItWent = went === undefined ? ledger : asLeftBy(ledger, went, holds);
  const nearest = (all: readonly Ledger[]): Ledger | null => {
    const [first, ...others] = all.filter((rest) => canBe(rest, 0));
    if (first === undefined) return null;
    return others.reduce((best, rest) => (changedG(rest) < changedG(best) ? rest : best), first);
  };
  const stayed = went === undefined ? null : stayedBeside(before(ledger, went), went.afterG);
  const cleared = withoutThings(asItWent, []);
  const left = withoutThings(asItWent, stayed ?? []);
  const near = nearest([asItWent, left, cleared]);
  if (near !== null) {
    // In doubt it has dried by more.
    const drier = lackingNoOther(near, asItWent);
    return canBe(drier, 0) ? nearest([asItWent, drier]) : near;
  }
  const drained = cleared.filter(({ kind }) => kind !== 'water');
  if (canBe(drained, mayGoG(asItWent, possible))) return drained;
  // What may have gone unseen had not, and was taken off beside the scale.
  const gone = mayHaveGone(ledger);
  const stoodG = sumG(gone);
  if (stoodG === 0) return null;
  return withTrayBack(without(ledger, gone), { ...change, waterG: waterG - stoodG }, possible);
}

const withoutThings = (ledger: Ledger, stay: Ledger): Ledger =>
  ledger.filter((step) => step.kind !== 'on' || stay.includes(step));

/**
 * What is left of the ledger where things of it were left beside the scale, `rest`, without what was taken off since the first
 * of those came: that may have been the thing, which seemed another by what the tray had got or lost meanwhile, and nothing
 * else is missing.
 */
function lackingNoOther(rest: Ledger, ledger: Ledger): Ledger {
  const cameAt = ledger.findIndex((step) => !rest.includes(step));
  if (cameAt < 0) return rest;
  return rest.filter((step) => step.kind !== 'off' || ledger.indexOf(step) < cameAt);
}

/** What the tray lost beside its scale tells nothing of what came or went before; but water that stands there still was none. */
const asKnownBack = (step: Step): Step =>
  hasPoured(step) ? step : { ...step, afterG: Number.NaN };

/**
 * The ledger with a tray that is back, and with what that weighs more than it went: water that it got beside the scale; or a
 * thing that came with it, which weighs more than it seems by what the tray has lost there. Null as `withTrayBack`.
 */
export function withTrayAndGain(ledger: Ledger, change: Change, possible: Possible): Ledger | null {
  const { afterG, waterG, uptimeMs } = change;
  const there = withTrayBack(ledger, change, possible)?.map(asKnownBack);
  if (there === undefined) return null;
  const stepG = afterG - foreignG(there) - waterG;
  if (stepG <= LIMITS.matchG) return there;
  const holds = asFarAsKnown(possible, waterG);
  const moreG = waterG - leastBackG(waterG, holds, besideFor(ledger, change), 0);
  return [...there, { kind: 'water', stepG, afterG, atMs: uptimeMs, found: { moreG, lessG: 0 } }];
}

/** For how long a tray that is back by `now` was off its scale, ms; 0 where none has just come back. */
export function besideMs(before: Ledger, now: Ledger, uptimeMs: number): number {
  const went = wentAs(before);
  return went === undefined || isTrayAway(now) ? 0 : uptimeMs - went.atMs;
}

const wentAs = (ledger: Ledger): Step | undefined => ledger.find(({ kind }) => kind === 'tray');

/** For so long the tray has been off the scale; not at all where it never was. */
const besideFor = (ledger: Ledger, { uptimeMs, losesGPerMs }: Change): Beside => ({
  awayMs: uptimeMs - (wentAs(ledger)?.atMs ?? uptimeMs),
  losesGPerMs,
});

const before = (ledger: Ledger, step: Step): Ledger => ledger.slice(0, ledger.indexOf(step));

/**
 * What stood there as the tray went weighs what the scale said then: if that is less than a thing seemed, what it came with was
 * water, and has run off since. What came or went after it is as it was seen.
 */
function asLeftBy(ledger: Ledger, went: Step, { capacityG, dryG }: Possible): Ledger {
  const others = ledger.filter((step) => step !== went);
  // What lay in the tray went with it.
  if (stayedBeside(before(ledger, went), went.afterG) !== null) return others;
  const things = before(ledger, went).filter(({ kind }) => kind === 'on');
  const tooMuchG = sumG(things) - went.afterG;
  // No thing came with more water than it seemed to weigh.
  const thing = things.filter(({ stepG }) => stepG - tooMuchG > LIMITS.matchG).at(-1);
  const mostG = Math.min(went.afterG, LIMITS.cameWithMostShare * (capacityG - dryG));
  if (thing === undefined || !(tooMuchG > LIMITS.matchG && tooMuchG <= mostG)) return others;
  return others.map((step) => (step === thing ? { ...step, stepG: step.stepG - tooMuchG } : step));
}
