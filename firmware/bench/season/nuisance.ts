/**
 * Alarms for which nothing was wrong, in one season and over many. A grower believes the others while there is no
 * more than one in so many weeks of a tray; a short season may hold the one.
 */
import type { Raised, SeasonVerdict } from './verdict';

export const WEEKS_A_NUISANCE = 4;

/** Those of `raised` for which nothing was wrong. */
export function nuisancesOf(raised: readonly Raised[]): readonly Raised[] {
  return raised.filter(({ right }) => !right);
}

/** How many a single season of so many weeks may have: its share of the table, and one in any. */
export function nuisancesInOneSeason(weeks: number): number {
  return Math.max(1, Math.floor(weeks / WEEKS_A_NUISANCE));
}

export interface NuisanceVerdict {
  readonly alarms: number;
  /** Of a tray, all seasons together. */
  readonly weeks: number;
  readonly allowed: number;
  readonly holds: boolean;
}

/** Over all seasons together: one in four weeks of a tray, and no remainder for free. */
export function judgeNuisances(
  verdicts: readonly Pick<SeasonVerdict, 'raised' | 'weeks'>[],
): NuisanceVerdict {
  const alarms = verdicts.reduce((sum, { raised }) => sum + nuisancesOf(raised).length, 0);
  const weeks = verdicts.reduce((sum, verdict) => sum + verdict.weeks, 0);
  const allowed = weeks / WEEKS_A_NUISANCE;
  return { alarms, weeks, allowed, holds: alarms <= allowed };
}
