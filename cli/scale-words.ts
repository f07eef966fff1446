/** The state of the scale in a grower's words. */
import type { ScaleState } from '../shared/link/methods';

/** After a start the scale needs this long for its first weight, ms: a window of readings, once a second. */
const FIRST_WEIGHT_MS = 12_000;

const STATES: Readonly<Record<ScaleState, string>> = {
  ok: 'ok',
  uncalibrated: 'not calibrated',
  silent: 'silent',
  saturated: 'at the end of its range',
  noisy: 'noisy',
};

/** What the scale is; `uptimeMs`: since the controller's start. */
export function scaleText(state: ScaleState, uptimeMs: number): string {
  return state === 'silent' && uptimeMs < FIRST_WEIGHT_MS ? 'starting' : STATES[state];
}
