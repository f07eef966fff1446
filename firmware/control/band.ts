/** The band in force: the stage's own, or its night band in the profile's night. Pure. */
import type { Band, DayWindow, Stage } from '../../shared/profile/profile';
import { inDayWindow } from './day-window';

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
  if (stage.nightBand === null || night === null || minuteOfDay === null) return stage.band;
  return inDayWindow(night.startMin, night.endMin, minuteOfDay) ? stage.nightBand : stage.band;
}
