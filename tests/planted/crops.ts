/** What is told of crops. */
import type { PlantedBug } from './bug';

const LIBRARY = 'tests/unit/crop-library.test.ts';
const GERMINATION = 'tests/reference/germination.test.ts';
const CHECK = 'tests/unit/profile-check.test.ts';
const SCREEN = 'tests/cli/crop.test.ts';

const EMERGENCE = 'shared/crops/library/emergence.ts';

export const CROPS: readonly PlantedBug[] = [
  {
    sentence: 'A band in which a published trial brought nothing up is refused with that trial.',
    file: 'shared/profile/host/germination-band.ts',
    find: 'if (never !== null) return',
    replace: 'if (never === crop.latin) return',
    foundBy: { file: CHECK, test: 'a published trial brought nothing up is refused' },
  },
  {
    sentence: 'Between two tried temperatures it is the pace that goes straight, not the days.',
    file: EMERGENCE,
    find: '1 / (1 / a + (1 / b - 1 / a) * part)',
    replace: 'a + (b - a) * part',
    foundBy: { file: GERMINATION, test: 'by the rate between the trials' },
  },
  {
    sentence: 'Where two sources differ, the days are a range over both.',
    file: EMERGENCE,
    find: '...crop.trials.flatMap((trials) => trialEstimate(trials, atC) ?? []),',
    replace: '...crop.trials.slice(0, 1).flatMap((trials) => trialEstimate(trials, atC) ?? []),',
    foundBy: { file: LIBRARY, test: 'gives each source beside the other' },
  },
  {
    sentence: 'What 40 C does, 45 C does too: nothing is told beyond the trials.',
    file: EMERGENCE,
    find: 'sides.length > 0 && sides.every',
    replace: 'sides.length > 1 && sides.every',
    foundBy: {
      file: LIBRARY,
      test: 'is refused with the source where nothing came up, and beyond',
    },
  },
  {
    sentence: 'Thermal time is told only where its line is straight.',
    file: EMERGENCE,
    find: 'fit.r2 < LEAST_R2',
    replace: 'fit.r2 < LEAST_R2 / 2',
    foundBy: { file: GERMINATION, test: 'have no straight line' },
  },
  {
    sentence: 'Thermal time is fitted up to the temperature of the quickest, and no further.',
    file: 'shared/physics/thermal-time.ts',
    find: 'sorted.slice(0, last + 1)',
    replace: 'sorted.slice(0, last + 2)',
    foundBy: { file: GERMINATION, test: 'base %d C, %d C d' },
  },
  {
    sentence: 'No crop cites a source that nobody names.',
    file: 'shared/crops/library/library.ts',
    find: 'if (unknown !== undefined) {',
    replace: 'if (unknown === crop.name) {',
    foundBy: { file: LIBRARY, test: 'is refused, and says so' },
  },
  {
    sentence: 'A number without its source does not get into the library.',
    file: 'shared/crops/library/schema.ts',
    find: 'exec(line) ?? [];',
    replace: "exec(line) ?? ['', line, 'Common practice'];",
    foundBy: { file: LIBRARY, test: 'is refused, and says so' },
  },
  {
    sentence: 'Each number on the screen of a crop has the number of its source.',
    file: 'cli/crop/ranges.ts',
    find: 'return this.names.indexOf(name) + 1;',
    replace: 'return this.names.length;',
    foundBy: { file: SCREEN, test: 'tells whose each number is' },
  },
  {
    sentence: 'Two crops are told to share a band only where both are at their best.',
    file: 'cli/crop/summary.ts',
    find: 'low: Math.max(a.low, b.low), high: Math.min(a.high, b.high)',
    replace: 'low: Math.min(a.low, b.low), high: Math.max(a.high, b.high)',
    foundBy: { file: SCREEN, test: 'says whether one band brings both up' },
  },
];
