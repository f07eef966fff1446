/**
 * Dosing: weigh, dose, let it soak in, weigh again, and only then perhaps another. Pure: the caller
 * grants how much may be given (`allowedMl`, caps included) and charges it before the pump starts.
 */
import type { DoseReason, DoseVerdict } from '../../shared/journal/kinds';
import type { WaterPhase } from '../../shared/link/methods';
import { WATER_LIMITS as LIMITS } from '../limits';

export interface WaterState {
  readonly phase: WaterPhase;
  readonly sinceMs: number;
  readonly reason: DoseReason;
  readonly plannedMl: number;
  /** Pump time of the running dose: wanted, delivered so far, and the lease asked for last, ms. */
  readonly pumpMs: number;
  readonly deliveredMs: number;
  readonly leasedMs: number;
  readonly beforeG: number;
}

export interface WaterInput {
  readonly uptimeMs: number;
  readonly dtMs: number;
  /** Why water is wanted now, or null. */
  readonly need: 'dry-back' | 'rescue' | null;
  /** What the caps leave for one dose, ml. */
  readonly allowedMl: number;
  /** Alarm, stage or hand forbids it: a running dose stops. */
  readonly held: boolean;
  readonly handled: boolean;
  /** Effective weight, g, and whether it has been stable long enough. */
  readonly grams: number;
  readonly settled: boolean;
  readonly noiseG: number;
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
}

export interface WaterStep {
  readonly state: WaterState;
  /** Pump lease to ask for now, ms; 0: off. */
  readonly leaseMs: number;
  /** A dose begins with this step: charge it before granting the lease. */
  readonly beginsMl: number;
  /** A dose ended with this step. */
  readonly ended: DoseEnd | null;
}

/** Nothing under way. */
export const WATER_IDLE: WaterState = {
  phase: 'idle',
  sinceMs: 0,
  reason: 'dry-back',
  plannedMl: 0,
  pumpMs: 0,
  deliveredMs: 0,
  leasedMs: 0,
  beforeG: Number.NaN,
};

/** A run of the pump by the grower's hand: no weight decides, nothing is proved. */
export function serviceRun(
  reason: 'prime' | 'calibrate',
  pumpMs: number,
  mlPerS: number,
  uptimeMs: number,
): WaterState {
  const plannedMl = (pumpMs / 1000) * mlPerS;
  return { ...WATER_IDLE, phase: 'service', sinceMs: uptimeMs, reason, plannedMl, pumpMs };
}

/** Next water state. Same object, no lease and no event while idle without need. */
export function nextWater(state: WaterState, input: WaterInput): WaterStep {
  switch (state.phase) {
    case 'weighing':
      return weigh(state, input);
    case 'dosing':
    case 'service':
      return pump(state, input);
    case 'soaking-in':
      return soakIn(state, input);
    case 'proving':
      return prove(state, input);
    default:
      if (input.need === null || input.held || input.handled || input.allowedMl <= 0) {
        return still(state);
      }
      return still({
        ...WATER_IDLE,
        phase: 'weighing',
        reason: input.need,
        sinceMs: input.uptimeMs,
      });
  }
}

function still(state: WaterState): WaterStep {
  return { state, leaseMs: 0, beginsMl: 0, ended: null };
}

function idle(uptimeMs: number): WaterState {
  return { ...WATER_IDLE, sinceMs: uptimeMs };
}

function weigh(state: WaterState, input: WaterInput): WaterStep {
  // A stage that ends meanwhile may want water for another reason, and that in its own measure.
  const wanted = input.need === state.reason && !input.held && !input.handled;
  if (!wanted) return still(idle(input.uptimeMs));
  if (input.uptimeMs - state.sinceMs > LIMITS.settleMaxMs) return still(idle(input.uptimeMs));
  if (!input.settled) return still(state);
  const pumpMs = Math.floor((input.allowedMl / input.mlPerS) * 1000);
  if (!(pumpMs >= LIMITS.minDoseMs)) return still(idle(input.uptimeMs));
  const leaseMs = Math.min(pumpMs, LIMITS.leaseMs);
  return {
    state: {
      ...state,
      phase: 'dosing',
      sinceMs: input.uptimeMs,
      plannedMl: input.allowedMl,
      pumpMs,
      deliveredMs: 0,
      leasedMs: leaseMs,
      beforeG: input.grams,
    },
    leaseMs,
    beginsMl: input.allowedMl,
    ended: null,
  };
}

function pump(state: WaterState, input: WaterInput): WaterStep {
  // A late tick cannot have pumped longer than the lease it left behind.
  const deliveredMs = state.deliveredMs + Math.min(input.dtMs, state.leasedMs);
  const stop = input.held || (state.phase === 'dosing' && input.handled);
  const leftMs = state.pumpMs - deliveredMs;
  if (stop || leftMs <= 0) {
    const done = { ...state, deliveredMs, leasedMs: 0, sinceMs: input.uptimeMs };
    if (!stop && state.phase === 'dosing') return still({ ...done, phase: 'soaking-in' });
    const verdict = state.phase === 'service' ? 'unproved' : input.handled ? 'handled' : 'stopped';
    return end(done, verdict, Number.NaN, input.uptimeMs);
  }
  const leaseMs = Math.min(leftMs, LIMITS.leaseMs);
  return {
    state: { ...state, deliveredMs, leasedMs: leaseMs },
    leaseMs,
    beginsMl: 0,
    ended: null,
  };
}

function soakIn(state: WaterState, input: WaterInput): WaterStep {
  if (input.handled) return end(state, 'handled', Number.NaN, input.uptimeMs);
  if (input.uptimeMs - state.sinceMs < input.soakInMs) return still(state);
  return still({ ...state, phase: 'proving', sinceMs: input.uptimeMs });
}

function prove(state: WaterState, input: WaterInput): WaterStep {
  if (input.handled) return end(state, 'handled', Number.NaN, input.uptimeMs);
  if (!input.settled) {
    const gaveUp = input.uptimeMs - state.sinceMs > LIMITS.settleMaxMs;
    return gaveUp ? end(state, 'unproved', Number.NaN, input.uptimeMs) : still(state);
  }
  const gainedG = input.grams - state.beforeG;
  const sinceBeforeMs = state.deliveredMs + input.soakInMs + input.uptimeMs - state.sinceMs;
  const driedG = input.dryingGPerMs * sinceBeforeMs;
  const verdict = judgeGain(gainedG, state.plannedMl * input.gPerMl, input.noiseG, driedG);
  return end(state, verdict, gainedG, input.uptimeMs);
}

function end(
  state: WaterState,
  verdict: DoseVerdict,
  gainedG: number,
  uptimeMs: number,
): WaterStep {
  const { reason, plannedMl, deliveredMs: ranMs, beforeG } = state;
  return {
    state: idle(uptimeMs),
    leaseMs: 0,
    beginsMl: 0,
    ended: { reason, verdict, plannedMl, ranMs, beforeG, gainedG },
  };
}

/**
 * Whether a gain proves a dose of `expectedG`: within 70..130 %, and clearly above the scale's noise.
 * `noiseG` is the standard deviation of single codes of the scale, so more than the weight's own.
 * What the tray has dried by meanwhile, `driedG`, is let off the lower end; but no heavier than before
 * it proves nothing.
 */
export function judgeGain(
  gainedG: number,
  expectedG: number,
  noiseG: number,
  driedG: number,
): DoseVerdict {
  const leastG = Math.max(expectedG * LIMITS.gainMinShare, LIMITS.gainNoiseSigmas * noiseG);
  // The other way round, so that a gain nobody knows is not seen either.
  if (gainedG <= 0 || !(gainedG >= leastG - driedG)) return 'not-seen';
  return gainedG > expectedG * LIMITS.gainMaxShare + LIMITS.gainNoiseSigmas * noiseG
    ? 'too-large'
    : 'seen';
}
