/** What a controller's stored journal tells of the batch on it: its marks and counts date a plan. */

import type { JournalEntry } from '../../shared/journal/kinds';
import { type Day, readDay } from '../../shared/planning/calendar-day';
import { STEPS } from '../../shared/planning/limits';
import type { Happened, StandCount } from '../../shared/planning/request';
import type { Mark } from '../../shared/profile/profile';
import { dateEntries } from '../journal/dating';
import { keptProfiles } from '../journal/profiles';
import { readStore, storedControllers } from '../journal/store';
import { localTime } from '../terminal/local-time';

/** The marks of the batch that was sown last. */
export interface TrayMarks {
  readonly boardId: string;
  /** Of the profile that it was sown under; null where that is not kept. */
  readonly crop: string | null;
  readonly sown: Day;
  readonly emerged: Day | null;
  /** The last count that is late enough to tell how many there will be. */
  readonly counted: StandCount | null;
  readonly transplanted: Day | null;
}

const dayOf = (unixMs: number): Day | null => readDay(localTime(unixMs).slice(0, 10));

function marksOf(store: string, boardId: string): TrayMarks | null {
  const told = dateEntries(readStore(store, boardId).at(-1)?.entries ?? []).flatMap(
    ({ entry, unixMs }) => {
      const day = unixMs === null ? null : dayOf(unixMs);
      return day === null ? [] : [{ entry, day }];
    },
  );
  const at = told
    .map(({ entry }) => entry.kind === 'mark' && entry.mark === 'sown')
    .lastIndexOf(true);
  const since = told.slice(at);
  const [sown] = since;
  if (at < 0 || sown === undefined) return null;
  const marked = (wanted: Mark): Day | null =>
    since.find(({ entry }) => entry.kind === 'mark' && entry.mark === wanted)?.day ?? null;
  const counts = since.flatMap(({ entry, day }) =>
    entry.kind === 'count' ? [{ plants: entry.standing, of: entry.of, day }] : [],
  );
  // Emergence is when half is up, whoever says so first: a mark, or a count.
  const halfUp = counts.find(({ plants, of }) => 2 * plants >= of)?.day ?? null;
  const emerged = marked('emerged') ?? halfUp;
  const last = counts.at(-1);
  const tells =
    last !== undefined && emerged !== null && last.day >= emerged + STEPS.countAfterEmergence;
  return {
    boardId,
    crop: cropAt(store, boardId, told.slice(0, at)),
    sown: sown.day,
    emerged,
    counted: tells ? last : null,
    transplanted: marked('transplanted'),
  };
}

/** The crop of the profile that was in use at the end of `told`. */
function cropAt(
  store: string,
  boardId: string,
  told: readonly { readonly entry: JournalEntry }[],
): string | null {
  const ids = told.flatMap(({ entry }) =>
    entry.kind === 'boot' || (entry.kind === 'profile' && entry.action === 'loaded')
      ? [entry.profileId]
      : [],
  );
  return keptProfiles(store, boardId).get(ids.at(-1) ?? Number.NaN)?.crop ?? null;
}

/** The batches of all controllers that have a journal in the store. */
export const storedMarks = (store: string): readonly TrayMarks[] =>
  storedControllers(store).flatMap(({ boardId }) => marksOf(store, boardId) ?? []);

/** What the grower has told comes first: it may put a wrong mark right. */
export const withMarks = (happened: Happened, marks: TrayMarks): Happened => ({
  sown: happened.sown ?? marks.sown,
  emerged: happened.emerged ?? marks.emerged,
  counted: happened.counted ?? marks.counted,
  transplanted: happened.transplanted ?? marks.transplanted,
});
