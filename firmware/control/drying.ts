/** How fast the tray dries by itself, from its weight once a minute while nobody and nothing disturbs it. Pure. */
import { MINUTE_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS } from '../limits';

const FALL_MIN = WEIGHT_LIMITS.fallingMs / MINUTE_MS;

export interface Drying {
  /** Rate when the tray, drained, was last left alone for a while, g/ms; zero or more. */
  readonly gPerMs: number;
  /** What it lost in the last ten undisturbed minutes, g; NaN while there are none. */
  readonly fellG: number;
  /** What it weighed in them, the oldest first, g. */
  readonly minutesG: readonly number[];
}

/** A tray that was not left alone yet. */
export const DRYING_UNKNOWN: Drying = { gPerMs: 0, fellG: Number.NaN, minutesG: [] };

/** One undisturbed minute more, at `trayG`. What runs out of a tray that has not `drained` is no drying. */
export function nextDrying(drying: Drying, trayG: number, drained: boolean): Drying {
  const minutesG = [...drying.minutesG.slice(-FALL_MIN), trayG];
  const fellG = minutesG.length > FALL_MIN ? (minutesG[0] ?? Number.NaN) - trayG : Number.NaN;
  const known = drained && !Number.isNaN(fellG);
  const gPerMs = known ? Math.max(0, fellG) / WEIGHT_LIMITS.fallingMs : drying.gPerMs;
  return { gPerMs, fellG, minutesG };
}

/** The weight was disturbed: the minutes before say nothing any more, the rate stays. */
export function disturbed(drying: Drying): Drying {
  return drying.minutesG.length === 0 ? drying : { ...DRYING_UNKNOWN, gPerMs: drying.gPerMs };
}
