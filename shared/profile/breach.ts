/** What can be wrong with a profile: a word for programs, and where. */
import type { FieldReason } from './fields';

/** Stable words for programs; the host has a sentence for each. */
export type ProblemReason =
  | FieldReason
  | 'band-upside-down'
  | 'band-narrow'
  | 'band-wide'
  | 'band-near-limit'
  | 'night-missing'
  | 'window-empty'
  | 'watering-missing'
  | 'watering-in-hold'
  | 'opening-missing'
  | 'opening-in-hold'
  | 'opening-not-below-start'
  | 'first-feed-late'
  | 'stop-not-below-start'
  | 'rescue-below-start'
  | 'rescue-dose-small'
  | 'rescue-dose-in-weigh'
  | 'dose-over-day'
  | 'day-over-stage'
  | 'dose-over-reservoir'
  | 'dose-not-spread'
  | 'outlets-missing'
  | 'medium-unknown'
  | 'name-twice'
  | 'transplant-hold-missing'
  | 'transplant-hold-short'
  | 'feed-strong-at-transplant';

/**
 * One breach. `path` is as in `Report`; `found`, `min` and `max` are in the unit that its last key
 * names, and absent where a number would say nothing.
 */
export interface Problem {
  readonly path: string;
  readonly reason: ProblemReason;
  readonly found: number | undefined;
  readonly min: number | undefined;
  readonly max: number | undefined;
}

export type Flag = (
  path: string,
  reason: ProblemReason,
  found?: number,
  min?: number,
  max?: number,
) => void;
