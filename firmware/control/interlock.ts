/**
 * What holds an output off, and why: the first reason that applies, the gravest first. Pure. A reason
 * is a word of `shared/link/held.ts`; the sentence for it is the laptop's.
 */
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HELD_REASONS, type HeldBy, type HeldReason } from '../../shared/link/held';
import type { ScaleState } from '../../shared/link/status';
import { type Stage, waters } from '../../shared/profile/profile';
import type { DoseState } from './dose';
import type { Need } from './need';
import { fitsInHour, type PumpHour } from './pump-hour';

/** Reasons that hold water off without needing anybody: they end by themselves, or belong to the crop. */
const NOBODYS_BUSINESS: readonly HeldReason[] = [
  'not-sown',
  'transplant-hold',
  'quiet-hours',
  'feed-change',
  'tray-off', // has an alarm of its own
  'mat-rests',
];

export interface HeatConditions {
  /** An alarm that holds the mat off. */
  readonly alarm: AlarmName | null;
  readonly sown: boolean;
  /** The mat is tried by hand: heat without a crop. */
  readonly byHand: boolean;
  /** The tray stands somewhere else, and its probe with it. */
  readonly away: boolean;
  /** Neither probe is in doubt. */
  readonly probesSound: boolean;
  /** The guard has it rest. */
  readonly rests: boolean;
}

/** Why the mat stays off; null when it is free to heat. */
export function heatHeldBy(conditions: HeatConditions): HeldBy | null {
  const { alarm, sown, byHand, away, probesSound, rests } = conditions;
  if (alarm !== null) return alarm;
  if (!sown && !byHand) return 'not-sown';
  if (away) return 'tray-off';
  if (!probesSound) return 'probe';
  return rests ? 'mat-rests' : null;
}

export interface WaterConditions {
  /** An alarm that holds the pump off. */
  readonly alarm: AlarmName | null;
  readonly sown: boolean;
  /** The runtime has switched the pump off: it has run as long as it may in this hour. */
  readonly hourSpent: boolean;
  /** What is charged now would survive a power cut. */
  readonly chargeKept: boolean;
  readonly scale: ScaleState;
  readonly pumpCalibrated: boolean;
  /** Container capacity and dry weight, g; NaN while unknown. */
  readonly capacityG: number;
  readonly dryG: number;
  readonly inTransplantHold: boolean;
  readonly handled: boolean;
  /** The tray stands somewhere else. */
  readonly away: boolean;
  /** The reservoir holds other feed than the stage wants, and the grower has still time to mix it. */
  readonly otherFeed: boolean;
  /** No dose is begun in these hours; one under way goes on. */
  readonly quiet: boolean;
}

/**
 * Why no dose may begin, or the running one must stop, in the order in which a grower should hear of it;
 * null when water is free.
 */
export function waterHeldBy(conditions: WaterConditions): HeldBy | null {
  const { alarm, scale, capacityG, dryG } = conditions;
  if (alarm !== null) return alarm;
  if (!conditions.sown) return 'not-sown';
  if (conditions.hourSpent) return 'pump-hour';
  if (!conditions.chargeKept) return 'storage';
  if (scale !== 'ok') return 'scale';
  if (!conditions.pumpCalibrated) return 'pump-not-calibrated';
  if (Number.isNaN(capacityG) || Number.isNaN(dryG)) return 'capacity-unknown';
  if (conditions.inTransplantHold) return 'transplant-hold';
  if (conditions.handled) return 'handling';
  if (conditions.away) return 'tray-off';
  if (conditions.otherFeed) return 'feed-change';
  return conditions.quiet ? 'quiet-hours' : null;
}

/** The dose that would begin now. */
export interface DoseAhead {
  /** What dosing is at: one under way began in time. */
  readonly dose: DoseState;
  /** 0 when there is to be none, ml; and what the pump gives, ml/s. */
  readonly ml: number;
  readonly mlPerS: number;
  readonly pumpHour: PumpHour;
}

/** What holds this dose: what holds the water, or else the hour's cap, which would cut it short. */
export function doseHeldBy(heldBy: HeldBy | null, ahead: DoseAhead): HeldBy | null {
  if (heldBy !== null) return heldBy;
  const { dose, ml, mlPerS, pumpHour } = ahead;
  const begins = dose.phase === 'idle' || dose.phase === 'weighing';
  const waits = begins && ml > 0 && !fitsInHour(pumpHour, (ml / mlPerS) * 1000);
  return waits ? 'pump-hour' : null;
}

/** The alarm that makes any run of the pump unsafe, one by the grower's hand too; null when none does. */
export function serviceHeldBy(alarm: AlarmName | null): AlarmName | null {
  return alarm === 'restarting-often' || alarm === 'pump-stuck-on' ? alarm : null;
}

export interface RunConditions {
  readonly dose: DoseState;
  /** Why water is wanted now, or null; and what holds it off, or null. */
  readonly need: Need | null;
  readonly heldBy: HeldBy | null;
  readonly stage: Stage | null;
  /** An alarm that holds the pump off. */
  readonly alarm: AlarmName | null;
  readonly hourSpent: boolean;
}

/**
 * Whether a dose must stop, or must not begin: what holds the water off, and a stage that gives no such dose. A
 * run by hand is stopped only by what makes any run unsafe.
 */
export function isRunHeld({ dose, need, heldBy, stage, alarm, hourSpent }: RunConditions): boolean {
  if (dose.phase === 'service') return serviceHeldBy(alarm) !== null || hourSpent;
  // A stage may end in the middle of a dose, and the next one be a hold.
  const reason = dose.phase === 'idle' ? need : dose.reason;
  const ownsDose = reason === 'rescue' || waters(stage);
  return heldBy !== null || !ownsDose;
}

/** What holds an output off now, by what did at the last tick: a mark since then may have been the sowing. */
export function heldNow(heldBy: HeldBy | null, stage: Stage | null): HeldBy | null {
  return heldBy === 'not-sown' && stage !== null ? null : heldBy;
}

/** The same of the water: a hold gives none, and says so when nothing else holds it off. */
export function waterHeldNow(heldBy: HeldBy | null, stage: Stage | null): HeldBy | null {
  return heldNow(heldBy, stage) ?? (stage?.kind === 'hold' ? 'hold' : null);
}

/** The reason that keeps water off until somebody sees to it, and is no alarm itself; null when there is none. */
export function waitsForSomebody(heldBy: HeldBy | null): HeldReason | null {
  return HELD_REASONS.find((r) => r === heldBy && !NOBODYS_BUSINESS.includes(r)) ?? null;
}
