/** How long is what clocks count by, in the two units of time that the program has. Exact; UTC without leap seconds. */

/** In milliseconds, which uptime and clocks are told in. */
export const SECOND_MS = 1000;
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;

/** In seconds, which a profile and the bench are told in. */
export const MINUTE_S = 60;
export const HOUR_S = 3600;
export const DAY_S = 86_400;
