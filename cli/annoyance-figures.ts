/**
 * `npm run bench -- annoyances [weeks]`: seasons without a fault, with what annoys any tray, until so many weeks of a tray
 * have gone by: each alarm for which nothing was wrong, and how many come to a week.
 */
import { allPlans } from '../firmware/bench/season/matrix';
import { nuisancesOf } from '../firmware/bench/season/nuisance';
import { runSeason, type SeasonPlan } from '../firmware/bench/season/season';
import { judgeSeason, type SeasonVerdict } from '../firmware/bench/season/verdict';
import { ALARMS } from '../shared/alarms/catalogue';

export const ANNOYED_WEEKS = 1_000;
/** The most there may be. */
const FALSE_A_WEEK = 0.02;
/** A season is four weeks at least. */
const seedsFor = (weeks: number): number => Math.ceil(weeks / (4 * allPlans(1).length));

/**
 * Judged with calm ticks left out, which is faster; by so few readings of a platform that trembles a rate may be a tenth
 * off, and what is raised then is run again with every tick, as on the chip, and that counts.
 */
function judged(plan: SeasonPlan): SeasonVerdict {
  const annoyed = { ...plan, annoyances: true };
  const quick = judgeSeason(runSeason(annoyed));
  if (nuisancesOf(quick.raised).length === 0) return quick;
  return judgeSeason(runSeason({ ...annoyed, everyTick: true }));
}

/** Whether no more alarms than may be were false, and none of them stayed until somebody mended it. */
export function printAnnoyances(weeks = ANNOYED_WEEKS): boolean {
  let seasons = 0;
  let ranWeeks = 0;
  let falseOnes = 0;
  let latched = 0;
  for (const plan of allPlans(seedsFor(weeks)).sort((a, b) => a.seed - b.seed)) {
    if (ranWeeks >= weeks) break;
    const verdict = judged(plan);
    seasons += 1;
    ranWeeks += verdict.weeks;
    for (const { alarm, atDays } of nuisancesOf(verdict.raised)) {
      falseOnes += 1;
      if (ALARMS[alarm].latched) latched += 1;
      const { crop, roomC, habits, seed } = plan;
      process.stdout.write(
        `  ${alarm} on day ${atDays.toFixed(1)}: ${crop}, ${roomC} C, ${habits}, seed ${seed}\n`,
      );
    }
  }
  const aWeek = falseOnes / ranWeeks;
  process.stdout.write(
    `${falseOnes} alarms without a cause in ${ranWeeks.toFixed(0)} weeks of a tray (${seasons} seasons) with sun, mists, draughts, creep and hands: ${aWeek.toFixed(3)} a week, goal ${FALSE_A_WEEK}; ${latched} of them stay until they are mended, goal 0\n`,
  );
  return aWeek <= FALSE_A_WEEK && latched === 0;
}
