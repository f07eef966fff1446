/** The stand of seedlings as the air meets it: how much it covers, and how well it lets vapour out. */

import { inSeries } from './lid';
import { CONVECTION_WM2K, RADIATION_WM2K, STILL_AIR_G, type WetSurface } from './surface';

/** Light taken by a layer of leaves, extinction of Beer's law (common practice, 0.6 to 0.8; no source found). */
const EXTINCTION = 0.7;
/** Wide open stomata, g per square metre of leaf, hour and kPa: 100 s/m (FAO-56 box 5). */
const OPEN_STOMATA_G = 264;
/** Light at which they are half open, umol/m2s (after Jarvis 1976 as remembered; no print found). */
const HALF_OPEN_PPFD = 100;
/**
 * Left open in the dark. Tomato loses at night 8 to 33 % of its greatest daytime rate, 10 % in the
 * field (Caird et al. 2007, Funct. Plant Biol. 34:172); of the lamp-lit rate here it is a fifth.
 */
const DARK_SHARE = 0.05;
/** Share of lamp light that leaves take up and turn to heat. */
const LEAF_ABSORPTION = 0.85;

/** Share of the light that a leaf area index of `index` takes. */
export function lightShare(index: number): number {
  return 1 - Math.exp(-EXTINCTION * index);
}

/** Stomata at this light, 0..1 of wide open. */
export function stomataShare(ppfd: number): number {
  return Math.max(DARK_SHARE, ppfd / (ppfd + HALF_OPEN_PPFD));
}

/**
 * Leaves over a square metre of tray. Leaves in the shade of others hardly count: half of a closed
 * stand works (FAO-56 box 5). Air passes a closed stand above and below, so it exchanges like two
 * flat surfaces. `turgor` 0..1 closes the stomata.
 */
export function canopySurface(
  index: number,
  turgor: number,
  air: { readonly airC: number; readonly ppfd: number; readonly lightWM2: number },
): WetSurface {
  const cover = lightShare(index);
  const working = index < 1 ? index : (1 + index) / 2;
  const stomata = OPEN_STOMATA_G * stomataShare(air.ppfd) * turgor * working;
  return {
    belowWM2K: 0,
    belowC: air.airC,
    airWM2K: cover * (2 * CONVECTION_WM2K + RADIATION_WM2K),
    airC: air.airC,
    absorbedWM2: cover * LEAF_ABSORPTION * air.lightWM2,
    vapour: inSeries(stomata, 2 * STILL_AIR_G * cover),
  };
}
