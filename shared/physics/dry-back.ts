/** Stone wool and its water: what the pieces hold, and how far a tray has dried back. */
import { gFromMl, mlFromG, USUAL_WATER_C } from './water';

/** Density of the fibre itself, kg/m3 (Frontiers in Plant Science 2014, 5:625, table 4). */
const FIBRE_DENSITY_KG_M3 = 1900;

/** Water share of soaked, undrained wool: nearly all the pores (same source: 0.94 to 0.95). */
export const SOAKED_SHARE = 0.95;

/** The two weights between which a tray's dry-back is counted, g, tray and pieces included. */
export interface TrayWeights {
  /** At container capacity: soaked, then drained. */
  readonly capacityG: number;
  /** The same tray with dry wool. */
  readonly dryG: number;
}

/** Stone-wool pieces of one kind; a profile's medium is one. */
export interface StoneWool {
  readonly pieces: number;
  readonly pieceMl: number;
  /** kg/m3, the same number in g/l. */
  readonly bulkDensityKgM3: number;
  /** Share of the volume that is water at container capacity, 0..1. */
  readonly capacityShare: number;
}

/**
 * Share of the container-capacity water that is gone: (Wcap - W) / (Wcap - Wdry). 0 when just
 * drained, 1 when dry; below 0 while still draining. NaN unless capacity is above dry.
 */
export function dryBackShare(trayG: number, weights: TrayWeights): number {
  const waterG = weights.capacityG - weights.dryG;
  return waterG > 0 ? (weights.capacityG - trayG) / waterG : Number.NaN;
}

/** The tray's weight, g, at a dry-back of `share`: the inverse of `dryBackShare`. */
export function trayAtDryBackG(share: number, weights: TrayWeights): number {
  return weights.capacityG - share * (weights.capacityG - weights.dryG);
}

/** Water, ml, that brings a tray back to a dry-back of `stopShare`; 0 when it is there already. */
export function refillMl(
  trayG: number,
  stopShare: number,
  weights: TrayWeights,
  waterC = USUAL_WATER_C,
): number {
  return mlFromG(Math.max(0, trayAtDryBackG(stopShare, weights) - trayG), waterC);
}

/** Outer volume, ml, of a plug, block or slab from its sides in mm. */
export function pieceVolumeMl(lengthMm: number, widthMm: number, heightMm: number): number {
  return (lengthMm * widthMm * heightMm) / 1000;
}

/** Share of the volume that is not fibre: 1 - bulk density / fibre density. */
export function porosityShare(bulkDensityKgM3: number): number {
  return 1 - bulkDensityKgM3 / FIBRE_DENSITY_KG_M3;
}

/** Mass, g, of the dry wool. */
export function dryWoolG(wool: StoneWool): number {
  return (wool.pieces * wool.pieceMl * wool.bulkDensityKgM3) / 1000;
}

/** Water, ml, that the pieces hold at container capacity. */
export function capacityWaterMl(wool: StoneWool): number {
  return wool.pieces * wool.pieceMl * wool.capacityShare;
}

/**
 * Weight, g, of pieces at container capacity, without the tray. Good to a few per cent: the share
 * depends on the height of the piece, so a weighed container capacity is always better.
 */
export function capacityWoolG(wool: StoneWool, waterC = USUAL_WATER_C): number {
  return dryWoolG(wool) + gFromMl(capacityWaterMl(wool), waterC);
}

/** Weight, g, of pieces soaked and not yet drained: the most the load cell must bear, tray apart. */
export function soakedWoolG(wool: StoneWool, waterC = USUAL_WATER_C): number {
  return capacityWoolG({ ...wool, capacityShare: SOAKED_SHARE }, waterC);
}
