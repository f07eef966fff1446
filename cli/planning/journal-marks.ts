/** What a controller's stored journal tells of the batch on it: its marks date a plan. */
import { type Day, readDay } from '../../shared/planning/calendar-day';
import type { Happened } from '../../shared/planning/request';
import type { Mark } from '../../shared/profile/profile';
import { dateEntries } from '../journal/dating';
import { readStore, storedControllers } from '../journal/store';
import { localTime } from '../terminal/local-time';
import type { KeptPlan } from './plan-file';

/** The marks of the batch that was sown last. */
export interface TrayMarks {
  readonly boardId: string;
  readonly sown: Day;
  readonly emerged: Day | null;
  readonly transplanted: Day | null;
}

/** A sowing so many days off the plan is not of this plan, unless its controller is named. */
const SAME_SOWING_DAYS = 7;

const dayOf = (unixMs: number): Day | null => readDay(localTime(unixMs).slice(0, 10));

function marksOf(store: string, boardId: string): TrayMarks | null {
  const life = readStore(store, boardId).at(-1);
  const marks = dateEntries(life?.entries ?? []).flatMap(({ entry, unixMs }) =>
    entry.kind === 'mark' && unixMs !== null ? [{ mark: entry.mark, day: dayOf(unixMs) }] : [],
  );
  const at = marks.map(({ mark }) => mark).lastIndexOf('sown');
  const sown = marks[at]?.day ?? null;
  if (sown === null) return null;
  const later = (wanted: Mark): Day | null =>
    marks.slice(at).find(({ mark }) => mark === wanted)?.day ?? null;
  return { boardId, sown, emerged: later('emerged'), transplanted: later('transplanted') };
}

/** The batches of all controllers that have a journal in the store. */
export const storedMarks = (store: string): readonly TrayMarks[] =>
  storedControllers(store).flatMap(({ boardId }) => marksOf(store, boardId) ?? []);

/**
 * The marks that are of `kept`: those of the controller that it names, else the one batch that was sown within a week of
 * its day, `plannedSow`; null where none is, or it is not sure which.
 */
export function marksFor(
  kept: KeptPlan,
  plannedSow: Day,
  all: readonly TrayMarks[],
): TrayMarks | null {
  const near = all.filter(
    ({ boardId, sown }) =>
      (kept.controller === null || kept.controller === boardId) &&
      Math.abs(sown - plannedSow) <= SAME_SOWING_DAYS,
  );
  const [only, ...others] = near;
  return only === undefined || others.length > 0 ? null : only;
}

/** What the grower has told comes first: it may put a wrong mark right. */
export const withMarks = (happened: Happened, marks: TrayMarks): Happened => ({
  sown: happened.sown ?? marks.sown,
  emerged: happened.emerged ?? marks.emerged,
  counted: happened.counted,
  transplanted: happened.transplanted ?? marks.transplanted,
});
