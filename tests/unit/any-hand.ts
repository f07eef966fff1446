/** A hand on the tray, and a reading of its scale, as tests of the weight's rules change them. */
import type { Hand } from '../../firmware/control/handling';
import type { WeightInput } from '../../firmware/control/weight';
import { HOUR_MS, SECOND_MS } from '../../shared/units/time';
import { QUIET_S, TRAY } from './tray-on-scale';

export const CAME_MS = HOUR_MS;
export const WAS_G = 4_000;

/** A hand that came to a tray of 4 kg an hour after the start, and has done nothing yet. */
export const hand = (changes: Partial<Hand> = {}): Hand => ({
  sinceMs: CAME_MS,
  beforeG: WAS_G,
  quietSinceMs: CAME_MS,
  restG: null,
  fromG: WAS_G,
  fromMs: CAME_MS,
  slopeGPerMs: 0,
  lastG: WAS_G,
  jerkedG: 0,
  jerked: false,
  unseenMs: 0,
  hidesG: 0,
  trembling: null,
  driesGPerMs: 0,
  wentMs: null,
  awayMs: 0,
  levelG: WAS_G,
  otherLevelG: WAS_G,
  ...changes,
});

/** A tray that weighs `grams` when a hand that came and went at once is known to be gone: it loses nothing, and nothing trembles. */
export const reading = (grams: number, changes: Partial<WeightInput> = {}): WeightInput => ({
  ...TRAY,
  uptimeMs: CAME_MS + QUIET_S * SECOND_MS,
  grams,
  stable: true,
  noisyG: 0,
  dtMs: SECOND_MS,
  driesGPerMs: 0,
  losesGPerMs: 0,
  expectedRiseG: 0,
  roseG: 0,
  matColderK: Number.NaN,
  ...changes,
});
