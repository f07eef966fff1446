/**
 * `npm run bench -- away [seasons]`: how often what `away` says with certainty held on the bench. Forecasts are tuned on
 * even seeds; odd ones were only ever counted.
 */
import { runAwaySeason } from '../firmware/bench/season/absences';
import {
  type Coverage,
  type Cut,
  coverageOf,
  cutsOf,
  daysText,
  dosesOf,
  isUnseen,
} from './forecast/backtest';
import { CERTAINTY } from './forecast/forecast';
import { lidNote } from './words/lid';

export const AWAY_SEASONS = 24;
/** Of two growers with even seeds, and of two with odd ones, one writes down where the lid goes. */
const marksLid = (seed: number): boolean => seed % 4 < 2;
/** What is said to hold nine times of ten does so more often than this, and less often than that. */
const HOLDS = { least: 0.85, most: 0.95 } as const;

const print = (line: string): boolean => process.stdout.write(`${line}\n`);
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

function printCoverage(what: string, { cuts, held, share, longer, longerWrong }: Coverage): void {
  print(
    `  ${what.padEnd(20)}${held} of ${cuts} held (${percent(share)}); ${longer} more were told to last longer than the absence, ${longer - longerWrong} of them did`,
  );
}

/** Runs them, prints the figures, and returns whether the certainty that is stated is the one there is. */
export function printAway(seasons = AWAY_SEASONS): boolean {
  print(
    `${percent(CERTAINTY)} certainty of \`away\`, goal ${percent(HOLDS.least)} to ${percent(HOLDS.most)}: ${seasons} seasons cut at random hours of long absences`,
  );
  const cuts: Cut[] = [];
  for (let seed = 0; seed < seasons; seed++) {
    const season = runAwaySeason(seed, marksLid(seed) ? { lidNote } : {});
    const here = cutsOf(season);
    cuts.push(...here);
    print(`  season ${String(seed).padEnd(4)}${season.profile.crop.padEnd(10)}${missesText(here)}`);
  }
  printCoverage('even seeds, tuned', coverageOf(cuts.filter((cut) => !isUnseen(cut))));
  printCoverage('odd seeds, unseen', coverageOf(cuts.filter(isUnseen)));
  printCoverage('lid marked', coverageOf(cuts.filter(({ seed }) => marksLid(seed))));
  printCoverage('lid not marked', coverageOf(cuts.filter(({ seed }) => !marksLid(seed))));
  const all = coverageOf(cuts);
  printCoverage('all', all);
  printDoses(
    'doses, even seeds',
    cuts.filter((cut) => !isUnseen(cut)),
  );
  printDoses('doses, odd seeds', cuts.filter(isUnseen));
  return isAsSaid(all.share) && isAsSaid(dosesOf(cuts).share);
}

const isAsSaid = (share: number): boolean => share >= HOLDS.least && share <= HOLDS.most;

function printDoses(what: string, all: readonly Cut[]): void {
  const { cuts, held, share } = dosesOf(all);
  print(`  ${what.padEnd(20)}${held} of ${cuts} came when they were said to (${percent(share)})`);
}

/** Every forecast that did not hold, in days from its cut. */
function missesText(cuts: readonly Cut[]): string {
  const { cuts: judged, held } = coverageOf(cuts);
  const misses = cuts
    .filter(({ verdict }) => verdict === 'not-held')
    .map(
      ({ stage, toldMs, cameMs }) => `${stage} told ${daysText(toldMs)} came ${daysText(cameMs)}`,
    );
  return [`${held} of ${judged} held`, ...misses].join('; ');
}
