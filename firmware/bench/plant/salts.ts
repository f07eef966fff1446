/** Feed salts in reservoir and wool. Only what the feed adds counts, not what the water had before. */

/** Salts of a feed, mg/l for each mS/cm at 25 C that it adds: the 640 scale. */
export const SALTS_MG_L_PER_MS = 640;
/** Stone wool is wetted with feed of about this, and fed on with it, mS/cm (1.2 for seedlings). */
export const USUAL_FEED_MS = 1.2;

/** Below this plants go short, mg/l: half a mS/cm (seedlings are fed 0.8 to 1.5, common practice). */
const ENOUGH_MG_L = 0.5 * SALTS_MG_L_PER_MS;
/** What plants still manage on their seed's and the water's own salts, share of full growth. */
const UNFED_SHARE = 0.15;
/**
 * Too much: yield falls by a tenth for each mS/cm above 2.5 (Maas and Hoffman 1977, tomato and
 * cucumber; from memory).
 */
const STRESS_FROM_MG_L = 2.5 * SALTS_MG_L_PER_MS;
const LOSS_PER_MG_L = 0.1 / SALTS_MG_L_PER_MS;

/** Growth that so much salt allows, 0.15..1. */
export function saltSupply(mgL: number): number {
  return UNFED_SHARE + (1 - UNFED_SHARE) * Math.min(1, mgL / ENOUGH_MG_L);
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
