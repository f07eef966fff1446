/** Replicates of a hundred seeds, and trials at several temperatures. */
import { type TimedAt, thermalTimeDays, thermalTimeOf } from '../../shared/physics/thermal-time';
import { replicateRange } from '../../shared/statistics/tolerances';
import type { UnitSystem } from '../../shared/units';
import { rangeText } from '../arguments/within';
import { refused } from '../failure';

/** Whether two or four replicates, per cent each, agree as official tests have it. */
export function replicatesResult(counts: readonly number[]) {
  const meanPercent = counts.reduce((sum, one) => sum + one, 0) / counts.length;
  const rangePoints = Math.max(...counts) - Math.min(...counts);
  const tolerancePoints = replicateRange(counts.length === 2 ? 2 : 4, meanPercent);
  return {
    meanPercent,
    rangePoints,
    tolerancePoints,
    agree: tolerancePoints === null ? null : rangePoints <= tolerancePoints,
  };
}
export type ReplicatesResult = ReturnType<typeof replicatesResult>;

/** The line of thermal time through `trials`, and the days it gives at `toC`. Throws `CommandError` where there is none. */
export function thermalResult(trials: readonly TimedAt[], toC: number | null, units: UnitSystem) {
  const fit = thermalTimeOf(trials);
  if (fit === null) {
    throw refused(
      'no-thermal-time',
      'No line goes through these: it takes three temperatures or more at which warmer is faster.',
      'Leave out what was too warm, and try more temperatures.',
    );
  }
  const days = toC === null ? null : thermalTimeDays(fit, toC);
  if (toC !== null && days === null) {
    throw refused(
      'beyond-the-trials',
      `--to is out of range: ${rangeText('temperature', fit.fromC, fit.toC, units)}. The line holds between the trials it goes through: what lies outside is not known.`,
      'Give --to a temperature within them.',
    );
  }
  // Past the quickest, warmth no longer hastens: no line goes on there.
  const leftOutC = trials.map(({ atC }) => atC).filter((atC) => atC > fit.toC);
  return { ...fit, leftOutC, to: toC === null || days === null ? null : { atC: toC, days } };
}
export type ThermalResult = ReturnType<typeof thermalResult>;
