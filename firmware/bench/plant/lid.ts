/** The propagator lid: what each way of wearing it costs in heat and lets out in vapour. */
import type { LidPlace } from '../../../shared/profile/profile';
import { vapourGPerM3Kpa } from './vapour';

export interface LidEffect {
  /** Heat lost through the top, W per square metre of tray and kelvin above the room. */
  readonly lossWM2K: number;
  /** How often the room renews the air under the lid, per hour. */
  readonly airChangesPerH: number;
}

/**
 * Losses span the 8..12 W/m2K of a tray with one side to still air (common practice); air changes
 * are chosen so that a closed lid costs a few grams a day and an open tray 1..3 mm (common practice).
 */
export const LID_EFFECTS: Record<LidPlace, LidEffect> = {
  closed: { lossWM2K: 8, airChangesPerH: 0.5 },
  'vents-open': { lossWM2K: 8.5, airChangesPerH: 4 },
  loose: { lossWM2K: 9, airChangesPerH: 10 },
  propped: { lossWM2K: 10, airChangesPerH: 30 },
  'off-by-day': { lossWM2K: 12, airChangesPerH: Number.POSITIVE_INFINITY },
  off: { lossWM2K: 12, airChangesPerH: Number.POSITIVE_INFINITY },
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
