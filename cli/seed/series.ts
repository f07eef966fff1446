/** Counts to be judged: those kept, typed, or in a table. */
import type { StandCount } from '../../shared/statistics/germination';
import { DAY_MS } from '../../shared/units/time';
import { plainNumber } from '../arguments/quantity';
import { invalid, usage } from '../failure';
import { readBounded } from '../files/bounded-read';
import type { Sowing } from './kept';
import { SEED_LIMITS } from './limits';

/** Counts of one sowing, in the order of their days, and how many were sown. */
export interface Series {
  readonly of: number;
  readonly counts: readonly StandCount[];
}

const EXAMPLE = 'For example: trayward seed test --of 50 --day 4=12 --day 5=31 --day 6=40';
const CSV_EXAMPLE = 'One count a line: day, then how many stand, such as "4,12".';

/** The counts that were kept; one that was told anew soon after counts in place of the one before. */
export function seriesOf({ sownMs, of, counts }: Sowing): Series {
  const last = counts.filter(({ unixMs }, i) => {
    const next = counts[i + 1];
    return next === undefined || next.unixMs - unixMs > SEED_LIMITS.correctedMs;
  });
  return {
    of,
    counts: last.map(({ unixMs, standing }) => ({ day: (unixMs - sownMs) / DAY_MS, standing })),
  };
}

/** `4=12`: on day 4 twelve stood. */
function pairOf(text: string): StandCount {
  const [, day = '', standing = ''] = /^([^=]*)=([^=]*)$/.exec(text) ?? [];
  return countOf(day, standing, `--day "${text}" is no count.`, EXAMPLE);
}

function countOf(dayText: string, standingText: string, what: string, next: string): StandCount {
  const day = plainNumber(dayText.trim());
  const standing = plainNumber(standingText.trim());
  if (day > 0 && day <= SEED_LIMITS.daysMost && Number.isInteger(standing)) {
    return { day, standing };
  }
  throw usage(
    `${what} A day is above 0 and ${SEED_LIMITS.daysMost} at most, and what stands a whole number.`,
    next,
    'not-a-count',
  );
}

/** Typed pairs as a series. Throws usage errors. */
export function typedSeries(pairs: readonly string[], of: number): Series {
  return checked(pairs.map(pairOf), of);
}

/** The counts of a table: comma, semicolon or tab between the two columns, a title in the first line or none. */
export function csvSeries(file: string, of: number): Series {
  const text = readBounded(file, SEED_LIMITS.csvMostBytes, 'a table of counts').toString('utf8');
  const lines = text.split(/\r?\n/).map((line, i) => ({ line: line.trim(), number: i + 1 }));
  const rows = lines
    .filter(({ line, number }) => line !== '' && !(number === 1 && /^["\p{L}]/u.test(line)))
    .map(({ line, number }) => {
      const [day = '', standing = '', ...more] = line.split(/[,;\t]/);
      const what = `${file}, line ${number}, "${line.slice(0, 40)}", is no count.`;
      if (more.length > 0) throw invalid('not-a-count', what, CSV_EXAMPLE);
      return countOf(day, standing, what, CSV_EXAMPLE);
    });
  return checked(rows, of);
}

function checked(counts: readonly StandCount[], of: number): Series {
  if (counts.length === 0 || counts.length > SEED_LIMITS.countsMost) {
    throw usage(`Give 1 to ${SEED_LIMITS.countsMost} counts, not ${counts.length}.`, EXAMPLE);
  }
  const sorted = [...counts].sort((a, b) => a.day - b.day);
  const twice = sorted.find(({ day }, i) => sorted[i + 1]?.day === day);
  if (twice !== undefined) throw usage(`Day ${twice.day} is given twice.`, EXAMPLE);
  const over = sorted.find(({ standing }) => standing > of);
  if (over === undefined) return { of, counts: sorted };
  throw usage(
    `On day ${over.day} ${over.standing} stood, of ${of} sown: no more can stand than were sown.`,
    'Counts are of all that stand that day, not of the new ones.',
  );
}
