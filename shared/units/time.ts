/** How long is what clocks count by, in the units of time that the program has. Exact; UTC without leap seconds. */

/** In milliseconds, which uptime and clocks are told in. */
export const SECOND_MS = 1000;
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;

/** In seconds, which a profile and the bench are told in. */
export const MINUTE_S = 60;
export const HOUR_S = 3600;
export const DAY_S = 86_400;

/** In minutes, which plots and the hours of a day are told in. */
export const HOUR_MIN = 60;
export const DAY_MIN = 1440;

/** Minutes since local midnight at `unixMs`, with their fraction, 0 to below 1440; `offsetMin` ahead of UTC. */
export function minuteOfDay(unixMs: number, offsetMin: number): number {
  const minutes = unixMs / MINUTE_MS + offsetMin;
  return ((minutes % DAY_MIN) + DAY_MIN) % DAY_MIN;
}
