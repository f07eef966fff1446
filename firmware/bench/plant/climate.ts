/** The air over one tray: what wool and leaves evaporate by now, and what heat that takes from below. */

import { EVAPORATION_J_PER_G } from '../../../shared/physics/vapour';
import { canopySurface, lightShare } from './canopy';
import { type LidEffect, lidVapourConductance, topLossWM2K } from './lid';
import { evaporate, STILL_AIR_G, type WetSurface, WOOL_TOP_WM2K } from './surface';

export interface TrayAir {
  readonly lid: LidEffect;
  readonly airC: number;
  readonly roomKpa: number;
  readonly ppfd: number;
  readonly lightWM2: number;
  readonly rootZoneC: number;
  /** Water in the wool, share of container capacity. */
  readonly waterShare: number;
  readonly leafAreaIndex: number;
  readonly turgor: number;
}

export interface TrayLoss {
  /** Off the wool and off the leaves, g per square metre and hour. */
  readonly woolGM2H: number;
  readonly leafGM2H: number;
  readonly leafC: number;
  /** Heat from root zone to room, W/m2K, and what evaporation (less light) takes from it besides, W/m2. */
  readonly topWM2K: number;
  readonly drawnWM2: number;
}

/**
 * Evaporation from wet wool goes as fast as heat and air allow until half of the water is gone, then
 * falls off (FAO-56 equation 74; half is the usual share of readily evaporable water in its table 19).
 */
export const DRY_TOP_SHARE = 0.5;
/** Share of the light on bare wool that warms it: pale wool, wet (no source found). */
const WOOL_ABSORPTION = 0.5;
/** Air under a lid lies between root zone and room, about half way. */
const LIDDED_AIR_SHARE = 0.5;

function woolSurface(air: TrayAir, cover: number): WetSurface {
  const wet = Math.min(1, air.waterShare / DRY_TOP_SHARE);
  return {
    belowWM2K: WOOL_TOP_WM2K,
    belowC: air.rootZoneC,
    airWM2K: air.lid.surfaceWM2K,
    airC: air.airC,
    absorbedWM2: (1 - cover) * WOOL_ABSORPTION * air.lightWM2,
    // Only what leaves do not cover evaporates (FAO-56 equation 75).
    vapour: STILL_AIR_G * wet * (1 - cover),
  };
}

/**
 * Loss of a tray by the balance of its two surfaces. What leaves evaporate is paid for by leaf, light
 * and air; what wool evaporates, in part by the root zone below it, which therefore never falls below
 * the wet bulb.
 */
export function trayLoss(air: TrayAir): TrayLoss {
  const lidded = Number.isFinite(air.lid.airChangesPerH);
  const cover = lightShare(air.leafAreaIndex);
  const aboveC = air.airC + (lidded ? LIDDED_AIR_SHARE * (air.rootZoneC - air.airC) : 0);
  const wool = woolSurface(air, cover);
  const leaves = canopySurface(air.leafAreaIndex, air.turgor, { ...air, airC: aboveC });
  const lid = lidVapourConductance(air.lid, air.airC);
  const loss = evaporate(wool, leaves, lid, air.roomKpa);
  const woolGM2H = Math.max(0, loss.wool.gM2H);
  const fromBelow = WOOL_TOP_WM2K / (WOOL_TOP_WM2K + wool.airWM2K);
  const evaporationWM2 = (woolGM2H / 3600) * EVAPORATION_J_PER_G;
  return {
    woolGM2H,
    leafGM2H: Math.max(0, loss.leaves.gM2H),
    leafC: loss.leaves.surfaceC,
    topWM2K: topLossWM2K(air.lid),
    drawnWM2: (evaporationWM2 - wool.absorbedWM2) * fromBelow,
  };
}
