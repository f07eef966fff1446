/** The state of the scale in a grower's words. */
import type { ScaleState } from '../../shared/link/status';
import { SCALE_WINDOW_CODES } from '../../shared/physics/bridge';

/** After a start the scale needs this long for its first weight, ms: a window of codes, one a second, and the start itself. */
const FIRST_WEIGHT_MS = (SCALE_WINDOW_CODES + 1) * 1_000;

const STATES: Readonly<Record<ScaleState, string>> = {
  ok: 'ok',
  uncalibrated: 'not calibrated',
  silent: 'silent',
  saturated: 'at the end of its range',
  noisy: 'noisy',
};

/** Nothing weighs less than this, g: such a scale was calibrated with something on it. */
const LEAST_G = -100;

/** What the scale is; `uptimeMs`: since the controller's start, `trayG`: what it reads. */
export function scaleText(state: ScaleState, uptimeMs: number, trayG: number | null): string {
  if (trayG !== null && trayG < LEAST_G) {
    return 'below zero: calibrate it again, beginning with nothing on it';
  }
  return state === 'silent' && uptimeMs < FIRST_WEIGHT_MS ? 'starting' : STATES[state];
}
