/**
 * What holds an output off, and why: the first reason that applies, the gravest first. Pure. A reason
 * is a word of `shared/link/held.ts`; the sentence for it is the laptop's.
 */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { HeldBy } from '../../shared/link/held';
import type { ScaleState } from '../../shared/link/status';

export interface HeatConditions {
  /** An alarm that holds the mat off. */
  readonly alarm: AlarmName | null;
  readonly sown: boolean;
  /** The tray stands somewhere else, and its probe with it. */
  readonly away: boolean;
  /** Neither probe is in doubt. */
  readonly probesSound: boolean;
}

/** Why the mat stays off; null when it is free to heat. */
export function heatHeldBy({ alarm, sown, away, probesSound }: HeatConditions): HeldBy | null {
  if (alarm !== null) return alarm;
  if (!sown) return 'not-sown';
  if (away) return 'tray-off';
  return probesSound ? null : 'probe';
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

/** The alarm that makes any run of the pump unsafe, one by the grower's hand too; null when none does. */
export function serviceHeldBy(alarm: AlarmName | null): AlarmName | null {
  return alarm === 'restarting-often' || alarm === 'pump-stuck-on' ? alarm : null;
}
