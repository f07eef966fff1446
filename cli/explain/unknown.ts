/** What a journal cannot tell of a time, so that nobody takes silence for health. Pure. */
import { MINUTE_MS } from '../../shared/units/time';
import type { Sentence } from './finding';
import type { Record } from './record';

/** More lines than this would bury what is known. */
const TOLD_MOST = 4;
/** A journal that ends so shortly before the time asked about is up to date. */
const FRESH_MS = 15 * MINUTE_MS;

/** `toMs`: the end of what is asked about, on the line of time. */
export function unknownsOf(record: Record, fromMs: number, toMs: number): readonly Sentence[] {
  const { boots, gaps, profileUnknown, missing } = record;
  const here = boots.filter((boot) => boot.toMs >= fromMs && boot.fromMs <= toMs);
  const undated = here.filter(({ notes }) => notes.every(({ unixMs }) => unixMs === null));
  const lost = gaps.filter((gap) => gap.toMs >= fromMs && gap.fromMs <= toMs);
  const all: Sentence[] = [];
  if (record.readings.length === 0) all.push(() => 'There is no reading in this journal.');
  if (profileUnknown)
    all.push(
      () =>
        'The profile of some of this time is not kept here, so bands and lids are not known there. `trayward journal pull` keeps those on the board.',
    );
  for (const { fromMs: gapMs, toMs: endMs } of lost.slice(0, 2))
    all.push(
      ({ range }) =>
        `Nothing is known from ${range(gapMs, endMs)}: the controller ran, but its entries are lost.`,
    );
  if (lost.length > 2) all.push(() => `So it is at ${lost.length - 2} more times.`);
  else if (lost.length === 0 && missing > 0 && here.length > 0)
    all.push(
      () =>
        `${missing === 1 ? '1 entry is' : `${missing} entries are`} missing somewhere in this journal.`,
    );
  if (undated.length > 0)
    all.push(
      () =>
        `The clock was not set ${undated.length === 1 ? 'in one run' : `in ${undated.length} runs`} of the controller: when that was, and how long the power was out before, nobody knows.`,
    );
  if (here.some(({ clockDoubtful }) => clockDoubtful))
    all.push(() => 'A clock was wrong: some times shown here may be, too.');
  if (record.readings.length > 0 && toMs - record.toMs > FRESH_MS)
    all.push(
      ({ time }) =>
        `The journal ends ${time(record.toMs)}: what was after that has not been pulled.`,
    );
  return all.slice(0, TOLD_MOST);
}
