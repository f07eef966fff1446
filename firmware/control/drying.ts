/** How fast the tray dries by itself, from its weight once a minute while nobody and nothing disturbs it. Pure. */
import { MINUTE_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS } from '../limits';

const FALL_MIN = WEIGHT_LIMITS.fallingMs / MINUTE_MS;
const USUAL_MIN = WEIGHT_LIMITS.usualDryingMs / MINUTE_MS;

export interface Drying {
  /** Rate when the tray, drained, was last left alone for a while, g/ms; zero or more. */
  readonly gPerMs: number;
  /** Mean of that over an hour of such minutes, without falls that no evaporation reaches, g/ms; and so many are in it. */
  readonly usualGPerMs: number;
  readonly usualMin: number;
  /** What it lost in the last ten undisturbed minutes, g; NaN while there are none. */
  readonly fellG: number;
  /** What it weighed in them, the oldest first, g. */
  readonly minutesG: readonly number[];
}

/** A tray that was not left alone yet. */
export const DRYING_UNKNOWN: Drying = {
  gPerMs: 0,
  usualGPerMs: 0,
  usualMin: 0,
  fellG: Number.NaN,
  minutesG: [],
};

/** One undisturbed minute more, at `trayG`. What runs out of a tray that has not `drained` is no drying. */
export function nextDrying(drying: Drying, trayG: number, drained: boolean): Drying {
  const minutesG = drying.minutesG.slice(-FALL_MIN);
  minutesG.push(trayG);
  const fellG = minutesG.length > FALL_MIN ? (minutesG[0] ?? Number.NaN) - trayG : Number.NaN;
  const { gPerMs, usualGPerMs, usualMin } = drying;
  const known = drained && !Number.isNaN(fellG);
  if (!known) return { gPerMs, usualGPerMs, usualMin, fellG, minutesG };
  const nowGPerMs = Math.max(0, fellG) / WEIGHT_LIMITS.fallingMs;
  if (fellG > WEIGHT_LIMITS.fallingG)
    return { gPerMs: nowGPerMs, usualGPerMs, usualMin, fellG, minutesG };
  const minutes = Math.min(usualMin + 1, USUAL_MIN);
  return {
    gPerMs: nowGPerMs,
    usualGPerMs: usualGPerMs + (nowGPerMs - usualGPerMs) / minutes,
    usualMin: minutes,
    fellG,
    minutesG,
  };
}

/** It loses more than evaporation takes: a cloth, a leak, or a flood that runs off. That may end at any moment. */
export function isMoreThanDries({ gPerMs }: Drying): boolean {
  return gPerMs * WEIGHT_LIMITS.fallingMs > WEIGHT_LIMITS.fallingG;
}

/** The weight was disturbed: the minutes before say nothing any more, the rates stay. */
export function disturbed(drying: Drying): Drying {
  return drying.minutesG.length === 0 ? drying : { ...drying, fellG: Number.NaN, minutesG: [] };
}
