/**
 * Which mat a tray needs in a room, by the bench's own thermal model in its steady state:
 * Gc (Tm - Tr) = U (Tr - Ta) + e and q = Gc (Tm - Tr) + Gu (Tm - Ta), per square metre.
 */
import { LID_EFFECTS } from '../../firmware/bench/plant/lid';
import { MAT } from '../../firmware/bench/plant/thermal';
import type { LidPlace } from '../../shared/profile/profile';
import { MARGIN } from '../circuit/limits';

/** Heat taken by evaporation, W/m2: 2 mm a day from an open tray, next to none under a closed lid. */
const EVAPORATION_W_M2: Readonly<Record<'closed' | 'off', number>> = { closed: 3, off: 57 };

export type MatLid = keyof typeof EVAPORATION_W_M2 & LidPlace;

interface Losses {
  readonly topWM2K: number;
  readonly evaporationWM2: number;
}

const lossesOf = (lid: MatLid): Losses => ({
  topWM2K: LID_EFFECTS[lid].lossWM2K,
  evaporationWM2: EVAPORATION_W_M2[lid],
});

/** How far above the room, K, root zone and mat settle with the mat always on. */
export function steadyRises(
  fluxWM2: number,
  lid: MatLid,
): { readonly rootZoneK: number; readonly matK: number } {
  const { topWM2K, evaporationWM2 } = lossesOf(lid);
  const under = MAT.undersideWM2K;
  const share = under / MAT.contactWM2K;
  const rootZoneK = (fluxWM2 - evaporationWM2 * (1 + share)) / (topWM2K + under + share * topWM2K);
  return {
    rootZoneK,
    matK: rootZoneK + (topWM2K * rootZoneK + evaporationWM2) / MAT.contactWM2K,
  };
}

/** Flux, W/m2, that holds the root zone `riseK` above the room for ever. */
export function fluxNeededWM2(riseK: number, lid: MatLid): number {
  const { topWM2K, evaporationWM2 } = lossesOf(lid);
  const under = MAT.undersideWM2K;
  const share = under / MAT.contactWM2K;
  return riseK * (topWM2K + under + share * topWM2K) + evaporationWM2 * (1 + share);
}

export interface MatBudget {
  readonly fluxWM2: number;
  readonly powerW: number;
  readonly roomC: number;
  readonly roomMaxC: number;
  readonly bandHighC: number;
  /** Warmest the root zone gets in this room, lid closed, mat always on, °C. */
  readonly reachesC: number;
  /** Share of the time the mat is on to hold the band's high edge, 0..1; above 1: out of reach. */
  readonly dutyShare: number;
  /** Flux that would do it with a quarter in hand, W/m2. */
  readonly wantedWM2: number;
  /** If the switch fails closed on the warmest day: root zone and mat, °C. */
  readonly stuckRootZoneC: number;
  readonly stuckMatC: number;
}

export interface MatInput {
  readonly fluxWM2: number;
  readonly areaM2: number;
  readonly roomC: number;
  readonly roomMaxC: number;
  readonly bandHighC: number;
}

/** Mat budget with the lid closed. */
export function matBudget(input: MatInput): MatBudget {
  const rises = steadyRises(input.fluxWM2, 'closed');
  const needWM2 = fluxNeededWM2(input.bandHighC - input.roomC, 'closed');
  return {
    fluxWM2: input.fluxWM2,
    powerW: input.fluxWM2 * input.areaM2,
    roomC: input.roomC,
    roomMaxC: input.roomMaxC,
    bandHighC: input.bandHighC,
    reachesC: input.roomC + rises.rootZoneK,
    dutyShare: Math.max(0, needWM2 / input.fluxWM2),
    wantedWM2: Math.max(0, needWM2 * MARGIN.supply),
    stuckRootZoneC: input.roomMaxC + rises.rootZoneK,
    stuckMatC: input.roomMaxC + rises.matK,
  };
}
