/** Hours of the day that may pass midnight. Pure. */
import type { DayWindow } from '../../shared/profile/profile';

/**
 * Whether minute `min` of the day (0..1439) lies in the window; its end is not part of it. A profile may name
 * none (null), and the time may be unknown (null).
 */
export function isItTimeOf(window: DayWindow | null, min: number | null): boolean {
  if (window === null || min === null) return false;
  const { startMin, endMin } = window;
  return startMin <= endMin ? min >= startMin && min < endMin : min >= startMin || min < endMin;
}
