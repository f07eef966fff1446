/**
 * What the weight does after a step tells what the step was: water runs off, a thing does not. Pure; the steps themselves
 * are booked in `ledger-booking.ts`.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  bounded,
  EMPTY_LEDGER,
  foreignG,
  hasPoured,
  isTrayAway,
  type Ledger,
  matchG,
  mayHaveGone,
  type Possible,
  type Step,
  takenFor,
  without,
} from './ledger';
import { leastAboveG } from './standing';

/** Something came on the tray lately that may be water, and run out again. */
export function isDraining(ledger: Ledger, uptimeMs: number): boolean {
  const last = ledger[ledger.length - 1];
  if (last === undefined || Number.isNaN(last.afterG)) return false;
  const mayBeWater = last.kind === 'on' || last.kind === 'water' || swapped(ledger) !== null;
  return mayBeWater && uptimeMs - last.atMs <= LIMITS.drainedMs;
}

/**
 * Nobody knows for how long the tray was not weighed, so what it lost meanwhile tells nothing: whether the thing that came
 * last was water shows by what runs off from `grams` on.
 */
export function weighedAgain(ledger: Ledger, grams: number): Ledger {
  const last = ledger[ledger.length - 1];
  if (last?.kind !== 'on' || !Number.isNaN(last.afterG)) return ledger;
  return [...ledger.slice(0, -1), { ...last, afterG: grams }];
}

/**
 * What the ledger would be if the last step, less than a thing that stood there, was that thing taken off and water
 * poured; null where it cannot have been.
 */
function swapped(ledger: Ledger): Ledger | null {
  const last = ledger[ledger.length - 1];
  if (last?.kind !== 'off') return null;
  const isMore = ({ kind, stepG }: Step): boolean =>
    kind === 'on' && stepG + last.stepG > matchG(stepG);
  const thing = ledger.filter(isMore).at(-1);
  if (thing === undefined) return null;
  const water: Step = { ...last, kind: 'water', stepG: thing.stepG + last.stepG, flowed: true };
  return [...ledger.slice(0, -1).filter((step) => step !== thing), water];
}

/**
 * What goes on rising by itself after it came, `roseG` lately, is water that runs in: from its highest on it may drain for
 * as long. What rises by more at once is a dose.
 */
export function withFilling(
  ledger: Ledger,
  roseG: number,
  grams: number,
  uptimeMs: number,
): Ledger {
  const last = ledger[ledger.length - 1];
  if (last?.kind !== 'on' || !isDraining(ledger, uptimeMs) || grams <= last.afterG) return ledger;
  if (roseG <= 0 || roseG > LIMITS.restlessG) return ledger;
  return [...ledger.slice(0, -1), { ...last, afterG: grams, atMs: uptimeMs }];
}

/**
 * Water above what the wool holds runs off; what stands there as it came was a thing. What came gently may be running in
 * still, and what would fill much of the wool, and stands above it by little of that, is a soaking: then the capacity is
 * what is wrong.
 */
export function withStanding(
  ledger: Ledger,
  grams: number,
  { capacityG, dryG }: Possible,
  uptimeMs: number,
): Ledger {
  const last = ledger[ledger.length - 1];
  if (last?.kind !== 'water' || last.flowed || Number.isNaN(last.afterG)) return ledger;
  const forMs = uptimeMs - last.atMs;
  const aboveG = last.afterG - foreignG(ledger) - capacityG;
  const leastG = Math.max(
    LIMITS.standsShare * (capacityG - dryG),
    LIMITS.soakingStandsShare * last.stepG,
  );
  const cameSo = aboveG > leastG && aboveG <= last.stepG;
  const stands = cameSo && last.afterG - grams < LIMITS.standsRunsOffShare * aboveG;
  if (!stands || forMs < LIMITS.standsMs || forMs > LIMITS.standsLatestMs) return ledger;
  return [...ledger.slice(0, -1), { ...last, kind: 'on' }];
}

/**
 * What passed for flood, lost in one piece, was a thing taken off if all of the flood runs off besides: that leaves the
 * tray lighter by the thing than what it holds, sooner than it can dry. `waterG` is the tray with its water.
 */
export function withFloodGone(
  ledger: Ledger,
  waterG: number,
  { capacityG }: Possible,
  uptimeMs: number,
): Ledger {
  const lost = ledger[ledger.length - 1];
  if (lost?.kind !== 'water' || lost.stepG > 0 || Number.isNaN(lost.afterG)) return ledger;
  const lacksG = capacityG - waterG;
  const driesG = (LIMITS.fallingG / LIMITS.fallingMs) * (uptimeMs - lost.atMs);
  const isLost = lacksG > driesG && lacksG >= -lost.stepG - matchG(-lost.stepG);
  return isLost ? [...ledger.slice(0, -1), { ...lost, kind: 'off' }] : ledger;
}

/**
 * A tray that has drained stands at container capacity, `fullG` with its plants, known to `offG`. Where it would not by what
 * is taken for things, and would with one of them, or all, taken for water, those were water: what had to run off meanwhile
 * did not show, for water ran in as well, or nobody weighed it. What came after them and passed for water, as there seemed to
 * be room for it or as their flood ran off, may be a thing for it. A thing that may have gone unseen has, or stands there
 * still. `grams` as read.
 */
export function withDrainedTo(ledger: Ledger, grams: number, fullG: number, offG: number): Ledger {
  const lacksG = fullG - (grams - foreignG(ledger));
  if (!(Math.abs(lacksG) > offG)) {
    // Of less the weight does not tell whether it stands there.
    const knownG = offG + Math.abs(lacksG);
    const went = mayHaveGone(ledger).filter(({ stepG }) => stepG > knownG);
    return went.length === 0 ? ledger : without(ledger, went);
  }
  for (const step of mayHaveGone(ledger)) {
    if (Math.abs(lacksG + step.stepG) <= offG) return takenFor(ledger, [step], 'on');
  }
  // Things alone first; then with what came after them and passed for water, the youngest first.
  for (let at = ledger.length; at >= 0; at--) {
    const passed = ledger[at];
    if (passed !== undefined && !hasPoured(passed)) continue;
    const were = nearest(ledger.slice(0, at), lacksG + (passed?.stepG ?? 0), offG);
    if (were.length === 0) continue;
    const now = passed ? takenFor(ledger, [passed], 'on') : ledger;
    return now.map((step) =>
      were.includes(step) ? { ...step, kind: 'water', flowed: true } : step,
    );
  }
  return ledger;
}

/** Which of the things in `ledger`, or all of them, weigh what the tray lacks, to `offG`; none where nothing does. */
function nearest(ledger: Ledger, lacksG: number, offG: number): Ledger {
  const things = ledger.filter(({ kind }) => kind === 'on' || kind === 'off');
  let leastG = offG;
  let were: Ledger = EMPTY_LEDGER;
  for (const steps of [...things.map((step) => [step]), things]) {
    const missG = Math.abs(lacksG - foreignG(steps));
    if (missG > leastG) continue;
    leastG = missG;
    were = steps;
  }
  return were;
}

/**
 * A tray that has stood for an hour above what its wool holds lacks nothing that leaves it there, or carries what may have
 * gone unseen: of these the youngest that explains it alone, or else all. Or it carries what came with water that has run off.
 * `grams` as read.
 */
export function withNothingMissing(ledger: Ledger, grams: number, possible: Possible): Ledger {
  const standsG = grams - foreignG(ledger) - possible.capacityG;
  const tooMuchG = standsG - leastAboveG(possible);
  if (!(tooMuchG > 0)) return ledger;
  const doubtful = ledger.filter(({ kind }) => kind === 'off' || kind === 'gone');
  const weighsG = (steps: Ledger): number => steps.reduce((sum, s) => sum + Math.abs(s.stepG), 0);
  const explains = (steps: Ledger): boolean => weighsG(steps) >= tooMuchG;
  const one = doubtful.filter((step) => explains([step])).slice(-1);
  const were = one.length > 0 ? one : doubtful;
  if (were.length === 0 || !explains(were)) return withThingOfFlood(ledger, standsG);
  const there = takenFor(ledger, mayHaveGone(were), 'on');
  return without(
    there,
    were.filter(({ kind }) => kind === 'off'),
  );
}

/**
 * What came at once, and ran off but for `standsG` that still stand above what the wool holds: so much of it was a thing, and
 * the rest water. Where little of it stands there it was a soaking, and the capacity is what is wrong.
 */
function withThingOfFlood(ledger: Ledger, standsG: number): Ledger {
  const came = ledger.filter(({ ranOff }) => ranOff).at(-1);
  if (came === undefined || standsG > came.stepG) return ledger;
  if (standsG <= LIMITS.soakingStandsShare * came.stepG) return ledger;
  const { flowed, ranOff, ...was } = came;
  const thing: Step = { ...was, kind: 'on', stepG: standsG };
  const water: Step = { ...was, stepG: came.stepG - standsG, flowed: true };
  return bounded(ledger.flatMap((step) => (step === came ? [thing, water] : [step])));
}

/** A tray that lost so much before anything came, by drying or not, g/ms. */
interface Losing extends Possible {
  readonly losesGPerMs: number;
}

/**
 * Water above what the wool holds drains off; a thing does not. What shrinks so, to `grams`, was water: the thing put on
 * last; or what was poured as a thing was taken off, where the tray holds more than it can only so. Water that came after
 * it runs off first. What stood above it before that runs off besides, and tells nothing; nor does what is lost by less than
 * water runs off, for all that would stand there: a cloth draws it. What drains may have begun to earlier, at `beganMs`.
 */
export function withDrained(
  ledger: Ledger,
  grams: number,
  possible: Losing,
  uptimeMs: number,
  beganMs = uptimeMs,
): Ledger {
  const last = ledger.filter((step) => !hasPoured(step)).at(-1);
  // What stands in the place of a tray that is away is none of its water, whether or not that drains.
  if (last === undefined || isTrayAway(ledger)) return ledger;
  const sinceAt = ledger.indexOf(last) + 1;
  const before = ledger.slice(0, sinceAt);
  const drained = lastDrained(before, grams, possible, uptimeMs, beganMs);
  return drained === before ? ledger : [...drained, ...ledger.slice(sinceAt)];
}

function lastDrained(
  ledger: Ledger,
  grams: number,
  { capacityG, losesGPerMs }: Losing,
  uptimeMs: number,
  beganMs: number,
): Ledger {
  const last = ledger[ledger.length - 1];
  if (last === undefined || last.kind === 'water' || !isDraining(ledger, beganMs)) return ledger;
  const wasAboveG = last.afterG - last.stepG - foreignG(ledger.slice(0, -1)) - capacityG;
  const floodG = Number.isNaN(wasAboveG) ? 0 : Math.max(0, wasAboveG);
  const sinceMs = uptimeMs - last.atMs;
  // What it weighed then was read as the hand had gone, and not when the hand was known to be over.
  const losesG = losesGPerMs * (sinceMs + LIMITS.quietMs);
  const ranOffG = last.afterG - grams - floodG - losesG;
  if (ranOffG <= LIMITS.drainedG) return ledger;
  const runsOffG = (water: Ledger): number => {
    const aboveG = last.afterG - foreignG(water) - capacityG - floodG;
    return LIMITS.standsRunsOffShare * aboveG * Math.min(1, sinceMs / LIMITS.drainedMs);
  };
  if (last.kind === 'on') {
    const ran: Step = { ...last, kind: 'water', flowed: true, ranOff: true };
    const water: Ledger = [...ledger.slice(0, -1), ran];
    return ranOffG < runsOffG(water) ? ledger : water;
  }
  const other = swapped(ledger);
  if (other === null) return ledger;
  const isExplained = last.afterG - foreignG(ledger) > capacityG;
  const runsOff = ranOffG >= runsOffG(other);
  return runsOff && !isExplained && last.afterG - foreignG(other) > capacityG ? other : ledger;
}
