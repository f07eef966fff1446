/** How much water may be given: the stage's dose, what is missing, and the caps. Pure. */
import type { Stage, Watering } from '../../shared/profile/profile';
import { missingMl, type Need } from './need';

/** What was given so far, ml: in the rolling day, and in this stage. */
export interface GivenMl {
  readonly dayMl: number;
  readonly stageMl: number;
}

/** Which caps a dose of `doseMl` would pass. */
export interface FullCaps {
  readonly day: boolean;
  readonly stage: boolean;
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

/**
 * The next dose, ml: no more than the stage's dose, what is missing to the stop share, or what the caps
 * leave; 0 when there is to be none. `trayG` and the weights in g.
 */
export function allowedMl(
  need: Need | null,
  stage: Stage | null,
  trayG: number,
  weights: { readonly capacityG: number; readonly dryG: number },
  given: GivenMl,
): number {
  if (stage === null || need === null) return 0;
  if (need === 'rescue') return stage.rescue.doseMl;
  const { watering } = stage;
  if (watering === null) return 0;
  const wantedMl = Math.min(watering.doseMl, missingMl(watering.stopShare, trayG, weights));
  const full = fullCaps(wantedMl, watering, given);
  return full.day || full.stage ? 0 : wantedMl;
}
