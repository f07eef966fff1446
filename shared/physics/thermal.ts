/**
 * The mat and what it warms as one thermal mass losing heat to the room:
 * C dT/dt = P u - UA (T - Troom). Good enough to size a mat and to tell a dead one from a cold room;
 * the bench has the finer model.
 */
import type { Band } from '../profile/profile';
import { accept, decline, type Verdict } from './verdict';

/** Specific heats, J/(g K): water (at 20 to 35 C), and stone-wool fibre (common practice). */
const WATER_J_PER_G_K = 4.186;
const WOOL_J_PER_G_K = 0.84;

/** Loss of an open tray from one side in still air, W/(m2 K) (common practice: 8 to 12). */
export const USUAL_LOSS_W_M2K = 10;

export interface HeatedTray {
  /** Heat of the mat reaching the tray, W. */
  readonly powerW: number;
  /** Heat capacity, J/K. */
  readonly capacityJPerK: number;
  /** Loss to the room, W/K. */
  readonly lossWPerK: number;
}

/** Heat capacity, J/K, of wet stone wool. */
export function heatCapacityJPerK(waterG: number, woolG: number): number {
  return waterG * WATER_J_PER_G_K + woolG * WOOL_J_PER_G_K;
}

/** Time constant, s: after it, 63 % of any change is done. */
export function timeConstantS(tray: HeatedTray): number {
  return tray.capacityJPerK / tray.lossWPerK;
}

/** How far above the room, K, the tray comes with the mat always on. */
export function steadyRiseK(tray: HeatedTray): number {
  return tray.powerW / tray.lossWPerK;
}

/** Warming, K/h, just after switching on at room temperature: the steepest it can be. */
export function initialSlopeKPerH(tray: HeatedTray): number {
  return (tray.powerW / tray.capacityJPerK) * 3600;
}

/** Temperature, C, after `seconds` with the mat on or off all the while, from `nowC`. */
export function forecastC(
  tray: HeatedTray,
  nowC: number,
  roomC: number,
  matOn: boolean,
  seconds: number,
): number {
  const endC = roomC + (matOn ? steadyRiseK(tray) : 0);
  return endC + (nowC - endC) * Math.exp(-seconds / timeConstantS(tray));
}

/** A full cycle of two-point control. */
export interface HeatCycle {
  readonly onS: number;
  readonly offS: number;
  /** Share of the time the mat is on, 0..1. */
  readonly dutyShare: number;
}

/**
 * On and off times inside `band` in a room at `roomC`. Refuses a band the mat cannot reach here
 * (it would stay on for ever), and one the room holds by itself (the mat would never come on).
 */
export function heatCycle(tray: HeatedTray, band: Band, roomC: number): Verdict<HeatCycle> {
  const topC = roomC + steadyRiseK(tray);
  if (!(band.highC < topC)) {
    return decline(
      `In a room at ${roomC.toFixed(1)} C this mat reaches ${topC.toFixed(1)} C at most, ` +
        `not ${band.highC} C. Warm the room, insulate under the mat, close the lid, or lower the band.`,
    );
  }
  if (!(band.lowC > roomC)) {
    return decline(
      `A room at ${roomC.toFixed(1)} C never lets the tray fall to ${band.lowC} C: ` +
        'the mat stays off. A mat cannot cool.',
    );
  }
  const tauS = timeConstantS(tray);
  const onS = tauS * Math.log((topC - band.lowC) / (topC - band.highC));
  const offS = tauS * Math.log((band.highC - roomC) / (band.lowC - roomC));
  return accept({ onS, offS, dutyShare: onS / (onS + offS) });
}
