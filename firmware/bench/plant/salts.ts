/** Feed salts in reservoir and wool. Only what the feed adds counts, not what the water had before. */

import { SALTS_MG_L_PER_MS } from '../../../shared/physics/feed';

/** Of a feed's salts, so much is nitrogen: see `SALTS_MG_L_PER_MS`. */
const NITROGEN_SHARE = 0.2;
/** Stone wool is wetted with feed of about this, and fed on with it, mS/cm (1.2 for seedlings). */
export const USUAL_FEED_MS = 1.2;

/**
 * Roots take up half of what they can from this, mg/l: lettuce 17.9 mg N/l, while its growth is halved
 * at no more than 1.3 mg N/l (Sharkey et al. 2024, Agriculture 14:1358). What runs short first is the
 * amount, not the strength.
 */
const HALF_UPTAKE_MG_L = 17.9 / NITROGEN_SHARE;
/**
 * Salts in a gram of dry plant, mg: what it holds when it has all it wants, 5 % nitrogen (no source
 * found that gives it for seedlings);
 * below the next it grows less; at the last not at all. Lettuce heads held 33 to 38 mg N a gram at full
 * growth, 18 to 20 at a third of it, 10 to 11 at a tenth (Becker et al. 2015, PLoS ONE 10:e0142867). Seedlings come up
 * with just enough (common practice, no source found: the seed feeds them for about a week).
 */
const FULL_MG_PER_G = 50 / NITROGEN_SHARE;
export const ENOUGH_MG_PER_G = 33 / NITROGEN_SHARE;
const NONE_MG_PER_G = 8 / NITROGEN_SHARE;
/**
 * Too much: yield falls by a tenth for each mS/cm above 2.5 (Maas and Hoffman 1977, tomato and
 * cucumber; as remembered, no print of it was found).
 */
const STRESS_FROM_MG_L = 2.5 * SALTS_MG_L_PER_MS;
const LOSS_PER_MG_L = 0.1 / SALTS_MG_L_PER_MS;

/** Growth that plants of so much salt in a gram of dry matter are capable of, 0..1. */
export function saltSupply(mgPerG: number): number {
  const supply = (mgPerG - NONE_MG_PER_G) / (ENOUGH_MG_PER_G - NONE_MG_PER_G);
  return Math.min(1, Math.max(0, supply));
}

/** What roots take up from wool of `mgL` while plants could grow `dryG`, mg. */
export function saltUptake(mgL: number, dryG: number): number {
  return (FULL_MG_PER_G * dryG * mgL) / (mgL + HALF_UPTAKE_MG_L);
}

/** Growth left by so much salt, 0..1. */
export function saltStress(mgL: number): number {
  return Math.max(0, 1 - Math.max(0, mgL - STRESS_FROM_MG_L) * LOSS_PER_MG_L);
}

/** Salts, mg, that come with `g` grams of feed of `mgL`. */
export function saltsIn(g: number, mgL: number): number {
  return (g * mgL) / 1000;
}

/** Salts of reservoir and tray; the water itself is kept by others. */
export class Salts {
  /** In wool and channels together, mg: they mix. */
  trayMg = 0;

  /** `reservoirMgL`: strength of the feed that the pump draws. */
  constructor(public reservoirMgL: number) {}

  /** `g` grams of water left the tray for good, of `beforeG` that were in it. */
  leave(g: number, beforeG: number): void {
    if (g > 0 && beforeG > 0) this.trayMg -= this.trayMg * Math.min(1, g / beforeG);
  }

  /** Strength, mg/l, in `waterG` of tray water. */
  strength(waterG: number): number {
    return waterG > 0 ? (this.trayMg * 1000) / waterG : 0;
  }

  /** The reservoir held `hadMl` and gets `addedMl` of `mgL`. */
  mix(hadMl: number, addedMl: number, mgL: number): void {
    if (addedMl <= 0) return;
    this.reservoirMgL = (this.reservoirMgL * hadMl + mgL * addedMl) / (hadMl + addedMl);
  }
}
