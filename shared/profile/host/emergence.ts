/** When the seed of a profile comes up, and how much of it, in the band of its first stage. Pure. */
import {
  daysToEmergence,
  daysToEmergenceVarying,
  EMERGENCE_CROPS,
  normalSeedlingShare,
} from '../../physics/emergence';
import type { Band, DayWindow, Profile } from '../profile';

export const EMERGENCE_SOURCE = 'trials of Harrington and Minges 1954';

export interface Emergence {
  /** From sowing until half the seed is up, in days. */
  readonly days: number;
  /** Share of the seed that gives normal seedlings, 0..1; null where the trials do not tell. */
  readonly normalShare: number | null;
}

const DAY_MIN = 1440;
const middleC = ({ lowC, highC }: Band): number => (lowC + highC) / 2;
const hoursOf = ({ startMin, endMin }: DayWindow): number =>
  ((endMin - startMin + DAY_MIN) % DAY_MIN) / 60;

/** What the trials say, with the root zone in the middle of the band; null for what was not tried. */
export function emergenceOf({ crop, night, stages }: Profile): Emergence | null {
  const name = crop.trim().toLowerCase();
  const tried = EMERGENCE_CROPS.find((one) => one === name);
  const [first] = stages;
  if (tried === undefined || first === undefined) return null;
  const dayC = middleC(first.band);
  if (first.nightBand === null || night === null) {
    const steady = daysToEmergence(tried, dayC);
    return steady.ok ? { days: steady.value, normalShare: normalSeedlingShare(tried, dayC) } : null;
  }
  const nightHours = hoursOf(night);
  const varying = daysToEmergenceVarying(tried, [
    { hours: 24 - nightHours, soilC: dayC },
    { hours: nightHours, soilC: middleC(first.nightBand) },
  ]);
  // How many come up was tried at steady temperatures only.
  return varying.ok ? { days: varying.value, normalShare: null } : null;
}
