/** The band in force: the stage's own, or its night band in the profile's night; and what the mat heats by. Pure. */
import type { Band, DayWindow, Stage } from '../../shared/profile/profile';
import { HEAT_LIMITS } from '../limits';
import { isItTimeOf } from './day-window';

/**
 * Band of `stage` at `minuteOfDay` (0..1439, null while the time of day is unknown: then it is day);
 * null before sowing.
 */
export function bandNow(
  stage: Stage | null,
  night: DayWindow | null,
  minuteOfDay: number | null,
): Band | null {
  if (stage === null) return null;
  const isNight = stage.nightBand !== null && isItTimeOf(night, minuteOfDay);
  return isNight ? stage.nightBand : stage.band;
}

/** Whether the mat is tried by hand, until `untilMs` of uptime: only while no crop stands, which would be cooked by it. */
export function isTriedByHand(stage: Stage | null, untilMs: number, uptimeMs: number): boolean {
  return stage === null && uptimeMs < untilMs;
}

/** The band that the mat heats by: the one in force, or its own while it is tried by hand. */
export function heatingBand(inForce: Band | null, byHand: boolean): Band | null {
  return byHand ? HEAT_LIMITS.byHandBand : inForce;
}
