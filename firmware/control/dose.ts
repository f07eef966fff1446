/**
 * Dosing: weigh, dose, let it soak in, weigh again, and only then perhaps another. Pure: the caller
 * grants how much may be given (`allowedMl`, caps included) and charges it before the pump starts.
 */
import type { DoseReason, DoseVerdict } from '../../shared/journal/kinds';
import { WATER_LIMITS as LIMITS } from '../limits';
import type { Need } from './need';
import { hasCome, judgeDose, shownFor } from './proof';

/** A dose that was charged: why, how much, and what the tray weighed before it. */
interface Charged {
  readonly reason: Need;
  readonly plannedMl: number;
  readonly beforeG: number;
}

/** A run of the pump: wanted, delivered so far, and the lease asked for last, ms of pump time. */
interface Running {
  readonly pumpMs: number;
  readonly deliveredMs: number;
  readonly leasedMs: number;
}

interface Idle {
  readonly phase: 'idle';
}
/** A phase that ends by itself after a while: since when, ms of uptime. */
interface Timed {
  readonly sinceMs: number;
}
interface WeighedFirst extends Timed {
  readonly phase: 'weighing';
  readonly reason: Need;
}
interface Dispensing extends Charged, Running {
  readonly phase: 'dosing';
}
/** A dose that was given, and must show. */
interface Given extends Charged, Timed {
  /** Pump time that it took, ms. */
  readonly ranMs: number;
  /** Most that the tray weighed since, g: what a full tray lets run out again was there once. */
  readonly peakG: number;
  /** For how long at a stretch it has shown on the scale, ms, until it is known to have come. */
  readonly shownMs: number;
}
interface SoakingIn extends Given {
  readonly phase: 'soaking-in';
}
interface Proving extends Given {
  readonly phase: 'proving';
}
/** A run by the grower's hand: no weight decides, nothing is proved. */
interface ByHand extends Running {
  readonly phase: 'service';
  readonly reason: 'prime' | 'calibrate';
  readonly plannedMl: number;
}

/** What dosing is at. */
export type DoseState = Idle | WeighedFirst | Dispensing | SoakingIn | Proving | ByHand;
type At<Phase extends DoseState['phase']> = Extract<DoseState, { readonly phase: Phase }>;

export interface DoseInput {
  readonly uptimeMs: number;
  readonly dtMs: number;
  /** Why water is wanted now, or null. */
  readonly need: Need | null;
  /** What the caps leave for one dose, ml. */
  readonly allowedMl: number;
  /** Alarm, stage or hand forbids it: a running dose stops. */
  readonly held: boolean;
  readonly handled: boolean;
  /** Effective weight, g, and whether it has been stable long enough. */
  readonly grams: number;
  readonly settled: boolean;
  readonly noiseG: number;
  /** From this weight on the tray may be full, and lets water run out, g; NaN while unknown. */
  readonly fullG: number;
  /** What is taken for things on it, and was left out of its weight, g; less than nothing for what is missing. */
  readonly thingsG: number;
  readonly mlPerS: number;
  /** Density of the feed, g/ml. */
  readonly gPerMl: number;
  readonly soakInMs: number;
  /** How fast the tray dries by itself, g/ms. */
  readonly dryingGPerMs: number;
}

export interface DoseEnd {
  readonly reason: DoseReason;
  readonly verdict: DoseVerdict;
  readonly plannedMl: number;
  readonly ranMs: number;
  readonly beforeG: number;
  readonly gainedG: number;
  /** What the tray dried by meanwhile, g. */
  readonly driedG: number;
  /** It came, and ran out of a tray again that is full, or may be: all of it, or more than hangs in the spouts. */
  readonly drained: boolean;
  /** It had come, as the scale saw, before a hand spoiled it; of one that no hand spoiled the verdict tells. */
  readonly came: boolean;
}

export interface DoseStep {
  readonly state: DoseState;
  /** Pump lease to ask for now, ms; 0: off. */
  readonly leaseMs: number;
  /** A dose begins with this step: charge it before granting the lease. */
  readonly beginsMl: number;
  /** A dose ended with this step. */
  readonly ended: DoseEnd | null;
}

/** Nothing under way. */
export const NO_DOSE: DoseState = { phase: 'idle' };

/** A run of the pump by the grower's hand, for `pumpMs`. */
export function serviceRun(
  reason: 'prime' | 'calibrate',
  pumpMs: number,
  mlPerS: number,
): At<'service'> {
  const plannedMl = (pumpMs / 1000) * mlPerS;
  return {
    phase: 'service',
    reason,
    plannedMl,
    pumpMs,
    deliveredMs: 0,
    leasedMs: 0,
  };
}

/** A dose is under way that the scale may be seeing: its rise is no hand's. */
export function isGiving(state: DoseState): state is At<'dosing' | 'soaking-in' | 'proving'> {
  return state.phase === 'dosing' || state.phase === 'soaking-in' || state.phase === 'proving';
}

/** The pump runs, by a dose or by hand. */
export function isPumping(state: DoseState): state is At<'dosing' | 'service'> {
  return state.phase === 'dosing' || state.phase === 'service';
}

/** Next state. Same object, no lease and no event while idle without need. */
export function nextDose(state: DoseState, input: DoseInput): DoseStep {
  switch (state.phase) {
    case 'idle':
      return begin(state, input);
    case 'weighing':
      return weigh(state, input);
    case 'dosing':
      return dose(state, input);
    case 'service':
      return service(state, input);
    case 'soaking-in':
      return soakIn(state, input);
    case 'proving':
      return prove(state, input);
  }
}

/** Ends a run or a dose now; what was pumped of it counts. Null when the pump does not run. */
export function stopped(state: DoseState): DoseEnd | null {
  if (!isPumping(state)) return null;
  const { reason, plannedMl } = state;
  const ranMs = state.deliveredMs + state.leasedMs;
  const beforeG = state.phase === 'dosing' ? state.beforeG : Number.NaN;
  return endOf({ reason, plannedMl, beforeG, ranMs }, 'stopped');
}

function still(state: DoseState): DoseStep {
  return { state, leaseMs: 0, beginsMl: 0, ended: null };
}

function begin(state: At<'idle'>, input: DoseInput): DoseStep {
  const { need, uptimeMs } = input;
  if (need === null || input.held || input.handled || input.allowedMl <= 0) return still(state);
  return still({ phase: 'weighing', reason: need, sinceMs: uptimeMs });
}

function weigh(state: At<'weighing'>, input: DoseInput): DoseStep {
  const { uptimeMs, allowedMl } = input;
  // A stage that ends meanwhile may want water for another reason, and that in its own measure.
  const wanted = input.need === state.reason && !input.held && !input.handled;
  if (!wanted || uptimeMs - state.sinceMs > LIMITS.settleMaxMs) return still(NO_DOSE);
  if (!input.settled) return still(state);
  const pumpMs = Math.floor((allowedMl / input.mlPerS) * 1000);
  if (!(pumpMs >= LIMITS.minDoseMs)) return still(NO_DOSE);
  const leaseMs = Math.min(pumpMs, LIMITS.leaseMs);
  return {
    state: {
      phase: 'dosing',
      reason: state.reason,
      plannedMl: allowedMl,
      beforeG: input.grams,
      pumpMs,
      deliveredMs: 0,
      leasedMs: leaseMs,
    },
    leaseMs,
    beginsMl: allowedMl,
    ended: null,
  };
}

/** Pump time so far: a late tick cannot have pumped longer than the lease it left behind. */
function delivered(state: At<'dosing' | 'service'>, dtMs: number): number {
  return state.deliveredMs + ranLately(state, dtMs);
}

/** How long the pump has run in the last `dtMs`, ms. */
export function ranLately(state: DoseState, dtMs: number): number {
  return isPumping(state) ? Math.min(dtMs, state.leasedMs) : 0;
}

/** The pump runs on, for what is left of its time. */
function runOn(state: At<'dosing' | 'service'>, deliveredMs: number): DoseStep {
  const leaseMs = Math.min(state.pumpMs - deliveredMs, LIMITS.leaseMs);
  return { state: { ...state, deliveredMs, leasedMs: leaseMs }, leaseMs, beginsMl: 0, ended: null };
}

function dose(state: At<'dosing'>, input: DoseInput): DoseStep {
  const { uptimeMs } = input;
  const ranMs = delivered(state, input.dtMs);
  const { reason, plannedMl, beforeG } = state;
  const charged = { reason, plannedMl, beforeG, ranMs };
  if (input.handled) return end(endOf(charged, 'handled'));
  if (input.held) return end(endOf(charged, 'stopped'));
  if (ranMs >= state.pumpMs) {
    const given = { ...charged, peakG: input.grams, shownMs: 0 };
    return still({ phase: 'soaking-in', sinceMs: uptimeMs, ...given });
  }
  return runOn(state, ranMs);
}

function service(state: At<'service'>, input: DoseInput): DoseStep {
  const ranMs = delivered(state, input.dtMs);
  if (!input.held && ranMs < state.pumpMs) return runOn(state, ranMs);
  const { reason, plannedMl } = state;
  const run = { reason, plannedMl, beforeG: Number.NaN, ranMs };
  return end(endOf(run, 'unproved'));
}

/** A hand came upon a dose that was given: no weight tells of it any more, but whether it had come is known. */
function spoil(state: At<'soaking-in' | 'proving'>): DoseStep {
  return end(endOf(state, 'handled', { came: hasCome(state.shownMs) }));
}

function soakIn(state: At<'soaking-in'>, input: DoseInput): DoseStep {
  const { grams, noiseG, uptimeMs } = input;
  if (input.handled) return spoil(state);
  const peakG = Math.max(state.peakG, grams);
  const expectedG = state.plannedMl * input.gPerMl;
  const shownMs = shownFor(state.shownMs, grams - state.beforeG, expectedG, noiseG, input.dtMs);
  const isSame = peakG === state.peakG && shownMs === state.shownMs;
  if (uptimeMs - state.sinceMs < input.soakInMs) {
    return still(isSame ? state : { ...state, peakG, shownMs });
  }
  return still({ ...state, peakG, shownMs, phase: 'proving', sinceMs: uptimeMs });
}

function prove(state: At<'proving'>, input: DoseInput): DoseStep {
  if (input.handled) return spoil(state);
  if (!input.settled) {
    const gaveUp = input.uptimeMs - state.sinceMs > LIMITS.settleMaxMs;
    return gaveUp ? end(endOf(state, 'unproved')) : still(state);
  }
  const gainedG = input.grams - state.beforeG;
  const sinceBeforeMs = state.ranMs + input.soakInMs + input.uptimeMs - state.sinceMs;
  const driedG = input.dryingGPerMs * sinceBeforeMs;
  const expectedG = state.plannedMl * input.gPerMl;
  const cameG = state.peakG - state.beforeG;
  const { verdict, drained } = judgeDose({ ...input, gainedG, cameG, expectedG, driedG });
  return end(endOf(state, verdict, { gainedG, driedG, drained }));
}

/** What is known of each run of the pump as it ends, and what the scale may say of it besides. */
type Ran = Pick<DoseEnd, 'reason' | 'plannedMl' | 'ranMs' | 'beforeG'>;
type ScaleSays = Omit<DoseEnd, keyof Ran | 'verdict'>;

function endOf(
  { reason, plannedMl, ranMs, beforeG }: Ran,
  verdict: DoseVerdict,
  says: Partial<ScaleSays> = {},
): DoseEnd {
  const unweighed = { gainedG: Number.NaN, driedG: Number.NaN, drained: false, came: false };
  return { reason, verdict, plannedMl, ranMs, beforeG, ...unweighed, ...says };
}

function end(ended: DoseEnd): DoseStep {
  return { state: NO_DOSE, leaseMs: 0, beginsMl: 0, ended };
}
