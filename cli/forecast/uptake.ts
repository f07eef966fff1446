/** What a tray will lose, by what it lost: a level, a trend, and how sure both are. Pure. */

import { type Line, lineThrough } from '../../shared/statistics/line';
import { FORECAST_LIMITS as LIMITS } from './limits';
import type { DayLoss, Losses } from './losses';

/** Loss ahead; its logarithm is about normal. */
export interface Uptake {
  /** Natural logarithm of the loss in g/d, over days from now. */
  readonly line: Line;
  /** Share of a day's loss in each hour of the day, 1 on average. */
  readonly byHour: readonly number[];
  /** So much faster if the lid has just been moved, ln, which nothing tells yet; 0 where there is no doubt. */
  readonly doubtLn: number;
}

/** What is thought before anything was seen: of the level, ln g/d. */
export interface Prior {
  readonly gPerDay: number;
  readonly sdLn: number;
}

/**
 * A straight line through the logarithms of the days' losses, each day the less sure the older and the shorter it is,
 * with what is known beforehand of level and trend.
 */
export function uptakeOf({ days, byHour }: Losses, prior: Prior, doubtLn: number): Uptake {
  const points = days
    .filter(({ gPerDay }) => gPerDay > LIMITS.leastGPerDay)
    .map((day) => ({
      x: -day.ageDays,
      y: Math.log(day.gPerDay) + LIMITS.grownLn,
      variance: dayVar(day),
    }));
  const line = lineThrough(
    points,
    { mean: Math.log(prior.gPerDay), sd: prior.sdLn },
    { mean: LIMITS.trendMean, sd: LIMITS.trendSd },
  );
  return { line, byHour, doubtLn };
}

/** Of one day's logarithm: its scatter, what was not seen of it, and what has become of the tray since. */
function dayVar({ ageDays, hours }: DayLoss): number {
  const { scatterLn, unseenLn, walkLn } = LIMITS;
  return scatterLn ** 2 + (unseenLn * (1 - Math.min(1, hours / 24))) ** 2 + walkLn ** 2 * ageDays;
}

/** Days that a trend goes on as if undiminished: canopies close. */
const dampedDays = (days: number): number =>
  LIMITS.dampDays * (1 - Math.exp(-days / LIMITS.dampDays));

/** Standard deviation of the logarithm of the mean loss over the next `days`. */
export function sdLnOver(uptake: Uptake, days: number): number {
  const x = dampedDays(days / 2);
  const { levelVar, slopeVar, covariance } = uptake.line;
  const { scatterLn, walkLn } = LIMITS;
  const ahead = scatterLn ** 2 / (1 + days) + (walkLn ** 2 * days) / 3;
  return Math.sqrt(Math.max(0, levelVar + 2 * x * covariance + x * x * slopeVar + ahead));
}

/**
 * Loss of one step of `stepH` after the other, g. Together, at each time, they are not passed with the probability whose
 * normal quantile is `z`. `hourNow`: hour of the day now, 0..24.
 */
export function lossSteps(uptake: Uptake, z: number, hourNow: number, stepH: number) {
  // Either is as likely: who must be sure takes the faster one.
  const lnLevel = uptake.line.level + (z > 0 ? uptake.doubtLn : 0);
  let meanG = 0;
  let hours = 0;
  let lastG = 0;
  return (): number => {
    const days = (hours + stepH / 2) / 24;
    const share = uptake.byHour[Math.floor(hourNow + hours + stepH / 2) % 24] ?? 1;
    meanG += (Math.exp(lnLevel + uptake.line.slope * dampedDays(days)) * share * stepH) / 24;
    hours += stepH;
    const g = Math.max(lastG, meanG * Math.exp(z * sdLnOver(uptake, hours / 24)));
    const step = g - lastG;
    lastG = g;
    return step;
  };
}
