/**
 * A tray that was watered until it drains, told from its weight alone: what ran out at first and then no more
 * leaves it at container capacity. A pump that gives less than planned, a leak, a hand do not look so: nothing
 * runs out, or it does not end. Nor does a cloth over the rim, which draws evenly and stops at once. Pure.
 */
import { MINUTE_MS } from '../../shared/units/time';
import { DRAINAGE_LIMITS as LIMITS, WATER_LIMITS, WEIGHT_LIMITS } from '../limits';

const STEP_MIN = LIMITS.stepMs / MINUTE_MS;
const STOP_MIN = LIMITS.stopMs / MINUTE_MS;
const MOST_MIN = LIMITS.mostMs / MINUTE_MS;

/** Nobody waters, or it is not known any more what drains. */
interface NotWatched {
  readonly phase: 'not-watched';
}
/** Water was given, and not weighed yet. */
interface JustWatered {
  readonly phase: 'watered';
}
interface RunningOff {
  readonly phase: 'draining';
  /** Minutes since water was given, from 1; and the weight in the first, g. */
  readonly minutes: number;
  readonly firstG: number;
  /** The weights of the last two steps, the oldest first, g. */
  readonly minutesG: readonly number[];
}
/** Something draws from it: however low that leaves it, it has not drained to there. */
interface Drawn {
  readonly phase: 'drawn';
  /** The weights of the last two steps, the oldest first, g. */
  readonly minutesG: readonly number[];
}

/** The minutes after water was given. */
export type Drainage = NotWatched | JustWatered | RunningOff | Drawn;

export interface DrainageStep {
  readonly state: Drainage;
  /** The weight that the tray has drained down to, g, once; null in all other minutes. */
  readonly capacityG: number | null;
}

/** A hand, a dose that begins, a scale in doubt: what drains now is not known any more. */
export const NOT_WATCHED: Drainage = { phase: 'not-watched' };
/** Water was given, by the pump or by hand, and now stands as high as it will. */
export const WATERED: Drainage = { phase: 'watered' };
const NOTHING: DrainageStep = { state: NOT_WATCHED, capacityG: null };

/**
 * One minute more, at `grams` as read. Drained are at least `leastG`, and what is lost from then on is lost
 * evenly: it dries.
 */
export function nextDrainage(state: Drainage, grams: number): DrainageStep {
  if (state.phase === 'not-watched') return NOTHING;
  const beforeG = state.phase === 'watered' ? [] : state.minutesG.slice(-2 * STEP_MIN);
  const minutesG = [...beforeG, grams];
  const lostG = agoG(minutesG, STEP_MIN) - grams;
  const drawn: DrainageStep = { state: { phase: 'drawn', minutesG }, capacityG: null };
  const losesMore = lostG > WEIGHT_LIMITS.drainedG;
  if (state.phase === 'drawn') return losesMore ? drawn : NOTHING;
  if (hasStopped(minutesG)) return drawn;
  const { minutes: passed, firstG } =
    state.phase === 'draining' ? state : { minutes: 0, firstG: grams };
  const minutes = passed + 1;
  const lostBeforeG = agoG(minutesG, 2 * STEP_MIN) - grams - lostG;
  const even = Math.abs(lostBeforeG - lostG) <= LIMITS.evenG;
  if (!even) {
    if (minutes > MOST_MIN) return NOTHING;
    return { state: { phase: 'draining', minutes, firstG, minutesG }, capacityG: null };
  }
  if (losesMore) return drawn;
  const driedG = (Math.max(0, lostG) / STEP_MIN) * (minutes - 1);
  const drainedG = firstG - grams - driedG;
  return drainedG >= LIMITS.leastG ? { state: NOT_WATCHED, capacityG: grams } : NOTHING;
}

/**
 * A hand was there for `handMs` that took and left nothing: it drains on, and what ran out before counts as well. What does so
 * from now on is followed anew, for it shook the tray; that dried meanwhile.
 */
export function drainsOn(before: Drainage, handMs: number): Drainage {
  if (before.phase !== 'draining') return before;
  const minutes = before.minutes + handMs / MINUTE_MS;
  return minutes > MOST_MIN ? NOT_WATCHED : { ...before, minutes, minutesG: [] };
}

/** It lost more than evaporation takes, and evenly, and then hardly anything: what runs off slows down by and by. */
function hasStopped(minutesG: readonly number[]): boolean {
  const lostG = (stopsAgo: number): number =>
    agoG(minutesG, (stopsAgo + 1) * STOP_MIN) - agoG(minutesG, stopsAgo * STOP_MIN);
  const drawnG = lostG(1);
  if (!(drawnG > LIMITS.stopLeastG)) return false;
  const offG = LIMITS.stopShare * drawnG;
  return Math.abs(lostG(2) - drawnG) <= offG && lostG(0) <= offG;
}

/** The weight so many minutes before the last; NaN when it was not weighed yet. */
function agoG(minutesG: readonly number[], minutes: number): number {
  return minutesG[minutesG.length - 1 - minutes] ?? Number.NaN;
}

/** A dose ran out of a tray that is full, or may be, at `ranOutMs` of uptime: the next waits until it has told its capacity. */
export function isLeftToDrain(ranOutMs: number, uptimeMs: number): boolean {
  return uptimeMs - ranOutMs < WATER_LIMITS.drainWaitMs;
}

/** A tray soaked or watered by hand so long ago has drained: a fall of its weight says something. */
export function hasDrained(sinceSoakedMs: number, sinceWateredMs: number): boolean {
  return Math.min(sinceSoakedMs, sinceWateredMs) >= WEIGHT_LIMITS.drainMs;
}

/**
 * Weight from which on the tray may be full and lets water run out, g; NaN while unknown. By `plantsOffG` the
 * weight of its plants may be off.
 */
export function fullG(capacityG: number, dryG: number, plantsOffG: number): number {
  return capacityG - plantsOffG - WATER_LIMITS.fullShare * (capacityG - dryG);
}
