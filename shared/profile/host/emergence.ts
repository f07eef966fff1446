/** When the seed of a profile comes up, and how much of it, in the band of its first stage. Pure. */

import type { Crop, Trials } from '../../crops/library/crop';
import { normalShareIn, progressPerDay } from '../../crops/library/emergence';
import { cropOrNull, sourceNamed } from '../../crops/library/library';
import { DAY_MIN, HOUR_MIN } from '../../units/time';
import type { Band, DayWindow, Profile } from '../profile';

export interface Emergence {
  /** From sowing until half the seed is up, in days. */
  readonly days: number;
  /** Share of the seed that gives normal seedlings, 0..1; null where the trials do not tell. */
  readonly normalShare: number | null;
  /** Short name of whose trials these are. */
  readonly source: string;
}

const middleC = ({ lowC, highC }: Band): number => (lowC + highC) / 2;
const hoursOf = ({ startMin, endMin }: DayWindow): number =>
  ((endMin - startMin + DAY_MIN) % DAY_MIN) / HOUR_MIN;

/** What was remembered, or made up for want of better, is no measure for a profile. */
export function publishedTrials({ trials }: Crop): Trials | null {
  return trials.find(({ source }) => sourceNamed(source).standing === 'published') ?? null;
}

/** What the crop's first published trials say, with the root zone in the middle of the band; null for what was not tried. */
export function emergenceOf({ crop, night, stages }: Profile): Emergence | null {
  const known = cropOrNull(crop);
  const trials = known === null ? null : publishedTrials(known);
  const [first] = stages;
  if (trials === null || first === undefined) return null;
  const dayC = middleC(first.band);
  const byDay = progressPerDay(trials.rows, dayC);
  const source = trials.source;
  if (first.nightBand === null || night === null) {
    if (byDay === null) return null;
    return { days: 1 / byDay, normalShare: normalShareIn(trials.rows, dayC), source };
  }
  const nightShare = hoursOf(night) / 24;
  const byNight = progressPerDay(trials.rows, middleC(first.nightBand));
  // A spell too cold or too hot brings nothing on.
  const perDay = (byDay ?? 0) * (1 - nightShare) + (byNight ?? 0) * nightShare;
  // How many come up was tried at steady temperatures only.
  return perDay > 0 ? { days: 1 / perDay, normalShare: null, source } : null;
}
