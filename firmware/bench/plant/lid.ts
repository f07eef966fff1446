/** The propagator lid: what each way of wearing it costs in heat and lets out in vapour. */

import { vapourGPerM3Kpa } from '../../../shared/physics/vapour';
import type { LidPlace } from '../../../shared/profile/profile';
import { CONVECTION_WM2K, RADIATION_WM2K, WOOL_TOP_WM2K } from './surface';

export interface LidEffect {
  /**
   * Heat from the wool's top to the room, W/m2K, without that of the vapour which leaves. Under a lid
   * it is more than in the open: what condenses on the lid hands its heat on and drips back.
   */
  readonly surfaceWM2K: number;
  /** How often the room renews the air under the lid, per hour. */
  readonly airChangesPerH: number;
}

const OPEN: LidEffect = {
  surfaceWM2K: CONVECTION_WM2K + RADIATION_WM2K,
  airChangesPerH: Number.POSITIVE_INFINITY,
};

/**
 * With the wool's own resistance a closed lid loses 8 W/m2K, and an open tray, evaporation counted,
 * about 16 in its first days (common practice, no source found: 8 to 12 for a tray with one side to still air). Air
 * changes are chosen so that a closed lid costs a few grams a day (common practice; no source found).
 */
export const LID_EFFECTS: Record<LidPlace, LidEffect> = {
  closed: { surfaceWM2K: 12.4, airChangesPerH: 0.5 },
  'vents-open': { surfaceWM2K: 12.4, airChangesPerH: 4 },
  loose: { surfaceWM2K: 12.4, airChangesPerH: 10 },
  propped: { surfaceWM2K: 12, airChangesPerH: 30 },
  'off-by-day': OPEN,
  off: OPEN,
};

/** Heat from root zone to room, W/m2K: through the wool, then from its top. */
export function topLossWM2K(effect: LidEffect): number {
  return inSeries(WOOL_TOP_WM2K, effect.surfaceWM2K);
}

/**
 * What a soaked tray of bare wool (0.129 m2) loses by lid, g/h, in a room at 18 C and 55 % humidity
 * whose mat holds about 24 C: from a room 2 K cooler and damper to one 2 K warmer and drier. A watch
 * on drying has to tell these apart.
 */
export const BARE_LOSS_G_PER_H: Record<
  Exclude<LidPlace, 'off-by-day'>,
  { readonly usual: number; readonly least: number; readonly most: number }
> = {
  closed: { usual: 0.12, least: 0.08, most: 0.2 },
  'vents-open': { usual: 0.8, least: 0.6, most: 1.4 },
  loose: { usual: 1.8, least: 1.3, most: 3.2 },
  propped: { usual: 4.3, least: 3.2, most: 7 },
  off: { usual: 15, least: 11, most: 20 },
};

/** `off-by-day` is a grower's habit: off while it is light, loosely on in the dark. */
export function lidNow(place: LidPlace, lit: boolean): LidPlace {
  if (place !== 'off-by-day') return place;
  return lit ? 'off' : 'loose';
}

/** Air under a tray's lid, m3 per square metre of tray: a dome of 15 cm. */
const HEADSPACE_M = 0.15;

/**
 * Conductance of the lid's air exchange for vapour, g per square metre, hour and kPa: the head space
 * leaves `airChangesPerH` times an hour and takes its vapour along. Infinite with the lid off.
 */
export function lidVapourConductance(effect: LidEffect, airC: number): number {
  return effect.airChangesPerH * HEADSPACE_M * vapourGPerM3Kpa(airC);
}

/** Two conductances one after the other. */
export function inSeries(a: number, b: number): number {
  if (a === 0 || b === 0) return 0;
  return 1 / (1 / a + 1 / b);
}
