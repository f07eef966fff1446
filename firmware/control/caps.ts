/** How much water may be given: the stage's dose, what is missing, and the caps. Pure. */
import type { Stage, Watering } from '../../shared/profile/profile';
import { WEIGHT_LIMITS } from '../limits';
import { leastDoseMl, missingMl, type Need, stopShareOf } from './need';

/** What was given so far, ml: in the rolling day, and in this stage. */
export interface GivenMl {
  readonly dayMl: number;
  readonly stageMl: number;
}

/** What is counted by stage: what it was given, ml, and whether it has had its rescue, and the water it opens with. */
export interface StageWater {
  readonly stageMl: number;
  readonly rescued: boolean;
  readonly opened: boolean;
}

/** Which caps a dose of `doseMl` would pass. */
export interface FullCaps {
  readonly day: boolean;
  readonly stage: boolean;
}

/**
 * What a millilitre by the pump's own doses counts as in the caps: more, where the pump seems to give less
 * than its calibration. A cap must hold by whichever of the two is right. `pumpShare` as in `pump-trim.ts`.
 */
export function countsAs(pumpShare: number): number {
  return 1 / Math.min(1, pumpShare);
}

/**
 * A cap counts as reached when the next dose would pass it: a part of a dose would make the cap a
 * set-point.
 */
export function fullCaps(doseMl: number, watering: Watering, given: GivenMl): FullCaps {
  return {
    day: given.dayMl + doseMl > watering.maxDayMl,
    stage: given.stageMl + doseMl > watering.maxStageMl,
  };
}

/** A dose that is about to be charged. */
export interface Planned {
  readonly reason: Need;
  readonly ml: number;
  readonly stage: Stage | null;
  /** This hold has had its rescue dose. */
  readonly rescued: boolean;
  /** See `countsAs`. */
  readonly mlCountsAs: number;
}

/** Whether a dose may be given at all: a rescue has a measure of its own, given once; every other keeps to the caps. */
export function isWithinCaps(planned: Planned, given: GivenMl): boolean {
  const { reason, ml, stage, rescued, mlCountsAs } = planned;
  if (stage === null) return false;
  if (reason === 'rescue') return ml <= stage.rescue.doseMl && !rescued;
  if (stage.watering === null) return false;
  const full = fullCaps(ml * mlCountsAs, stage.watering, given);
  return !full.day && !full.stage;
}

export interface Wanted {
  readonly need: Need | null;
  readonly stage: Stage | null;
  /** The stage has had the first dose of its opening. */
  readonly opened: boolean;
  /** What a millilitre counts as in the caps, 1 or more: see `countsAs`. */
  readonly mlCountsAs: number;
  /** Of less not every piece gets any, ml; 0 where the profile does not say how water is spread. */
  readonly spreadMl: number;
  /** Weight without handling's share, container capacity and dry weight, g. */
  readonly trayG: number;
  readonly capacityG: number;
  readonly dryG: number;
}

/**
 * The next dose, ml: no more than the stage's dose, what is missing to the stop share, or what the caps
 * leave; 0 when there is to be none. A stage opens with a whole dose, wet as the tray may be, if only
 * the wool can still take most of it. None is too small to reach every piece: rather a little past the stop
 * share, if not past container capacity.
 */
export function allowedMl(wanted: Wanted, given: GivenMl): number {
  const { need, stage } = wanted;
  if (stage === null || need === null) return 0;
  if (need === 'rescue') return stage.rescue.doseMl;
  const { watering } = stage;
  if (watering === null) return 0;
  const wantedMl =
    need === 'opening' && !wanted.opened
      ? openingMl(watering, wanted)
      : reachingMl(
          Math.min(
            watering.doseMl,
            missingMl(stopShareOf(need, stage, watering), wanted.trayG, wanted),
          ),
          wanted,
        );
  const full = fullCaps(wantedMl * wanted.mlCountsAs, watering, given);
  return full.day || full.stage ? 0 : wantedMl;
}

function reachingMl(ml: number, wanted: Wanted): number {
  if (ml >= wanted.spreadMl) return ml;
  return missingMl(0, wanted.trayG, wanted) >= wanted.spreadMl ? wanted.spreadMl : 0;
}

function openingMl(watering: Watering, wanted: Wanted): number {
  const roomMl = missingMl(-WEIGHT_LIMITS.overfillShare, wanted.trayG, wanted);
  const ml = Math.min(watering.doseMl, roomMl);
  return ml >= leastDoseMl(watering, wanted.spreadMl) ? ml : 0;
}
