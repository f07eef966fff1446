/** Two-point heat control with hysteresis and minimum switching times. Pure. */
import type { Band } from '../../shared/profile/profile';
import { assert } from '../assert';

export interface HeatState {
  readonly on: boolean;
  /** Uptime of the last switching, ms. */
  readonly sinceMs: number;
}

export interface SwitchLimits {
  readonly minOnMs: number;
  readonly minOffMs: number;
}

/** At a start at `uptimeMs`: nobody knows how long the mat has been off, and it may be for a moment. */
export const offSince = (uptimeMs: number): HeatState => ({ on: false, sinceMs: uptimeMs });

/**
 * Next mat state. `rootZoneC` in degrees Celsius (NaN: unknown, so off), `uptimeMs` in ms. On below
 * the band's low edge, off above its high edge, unchanged inside. Never on when `interlocked`, which
 * switches off at once; `minOnMs` binds only the control's own wish. A band upside down is a broken
 * invariant: it would never switch off.
 */
export function nextHeat(
  state: HeatState,
  rootZoneC: number,
  uptimeMs: number,
  interlocked: boolean,
  band: Band | null,
  limits: SwitchLimits,
): HeatState {
  const ranMs = uptimeMs - state.sinceMs;
  if (interlocked || band === null || Number.isNaN(rootZoneC)) {
    return state.on ? { on: false, sinceMs: uptimeMs } : state;
  }
  assert(band.lowC < band.highC, 'band-in-order');
  if (state.on) {
    if (rootZoneC > band.highC && ranMs >= limits.minOnMs) return { on: false, sinceMs: uptimeMs };
    return state;
  }
  if (rootZoneC < band.lowC && ranMs >= limits.minOffMs) return { on: true, sinceMs: uptimeMs };
  return state;
}
