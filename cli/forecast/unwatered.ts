/** How long the wool lasts without any water. Pure. */
import { normalQuantile } from '../../shared/statistics/normal';
import { HOUR_MS } from '../../shared/units/time';
import { CERTAINTY } from './forecast';
import { FORECAST_LIMITS as LIMITS } from './limits';
import { lossSteps, type Uptake } from './uptake';
import type { Place } from './walk';

const STEP_H = 0.25;

/**
 * When a tray that is given no water is too dry for its stage, ms from now, so that nine of ten times it comes later; 0
 * where it is already, null where it is not within the time looked ahead.
 */
export function dryUnwateredMs(place: Place, uptake: Uptake): number | null {
  const stage = place.profile.stages[place.stage.index];
  if (stage === undefined) return null;
  const loss = lossSteps(uptake, normalQuantile(CERTAINTY), place.hourOfDay, STEP_H);
  const holdsG = place.capacityG - place.dryG;
  let share = place.dryBackShare;
  for (let h = 0; h <= LIMITS.horizonH; h += STEP_H) {
    if (share >= stage.rescue.share) return h * HOUR_MS;
    share += loss() / holdsG;
  }
  return null;
}
