/**
 * Which mat a tray needs in a room, by the bench's own thermal model in its steady state:
 * Gc (Tm - Tr) = U (Tr - Ta) + e(Tr) and q = Gc (Tm - Tr) + Gu (Tm - Ta), per square metre, where
 * e is what evaporation draws from the root zone of a soaked tray of bare wool in the dark.
 */
import { trayLoss } from '../../firmware/bench/plant/climate';
import { LID_EFFECTS } from '../../firmware/bench/plant/lid';
import { ROOM as BENCH_ROOM } from '../../firmware/bench/plant/room';
import { MAT } from '../../firmware/bench/plant/thermal';
import { saturationKpa } from '../../shared/physics/vapour';
import type { LidPlace } from '../../shared/profile/profile';
import { MARGIN } from '../circuit/limits';

export type MatLid = Extract<LidPlace, 'closed' | 'off'>;

/** The room that evaporation is reckoned for: the bench's own. */
const ROOM_C = BENCH_ROOM.meanC;
const ROOM_KPA = BENCH_ROOM.humidityShare * saturationKpa(ROOM_C);

/** Steepest rise the search looks at, K: far above what any mat here gives. */
const RISE_MAX_K = 100;
const HALVINGS = 60;

/** Heat that leaves the root zone upwards when it is `riseK` above the room, W/m2. */
export function upwardLossWM2(riseK: number, lid: MatLid): number {
  const loss = trayLoss({
    lid: LID_EFFECTS[lid],
    airC: ROOM_C,
    roomKpa: ROOM_KPA,
    ppfd: 0,
    lightWM2: 0,
    rootZoneC: ROOM_C + riseK,
    waterShare: 1,
    leafAreaIndex: 0,
    turgor: 1,
  });
  return loss.topWM2K * riseK + loss.drawnWM2;
}

/** How far above the room, K, root zone and mat settle with the mat always on. */
export function steadyRises(
  fluxWM2: number,
  lid: MatLid,
): { readonly rootZoneK: number; readonly matK: number } {
  // An open tray with a weak mat settles below the room.
  let [lowK, highK] = [-RISE_MAX_K / 10, RISE_MAX_K];
  for (let turn = 0; turn < HALVINGS; turn++) {
    const middleK = (lowK + highK) / 2;
    if (fluxNeededWM2(middleK, lid) < fluxWM2) lowK = middleK;
    else highK = middleK;
  }
  return { rootZoneK: lowK, matK: lowK + upwardLossWM2(lowK, lid) / MAT.contactWM2K };
}

/** Flux, W/m2, that holds the root zone `riseK` above the room for ever. */
export function fluxNeededWM2(riseK: number, lid: MatLid): number {
  const upWM2 = upwardLossWM2(riseK, lid);
  return upWM2 + MAT.undersideWM2K * (riseK + upWM2 / MAT.contactWM2K);
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
  /** If both switches fail closed on the warmest day: root zone and mat, °C. */
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
