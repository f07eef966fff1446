/** The band in force: the stage's own, or its night band in the profile's night. Pure. */
import type { Band, DayWindow, Stage } from '../../shared/profile/profile';
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
