/** A season of a stored journal, as a grower names one: the controller, and a day on which it stood there. */
import { type Day, readDay } from '../../shared/planning/calendar-day';
import { usage } from '../failure';
import { type Reader, shortened } from './options';

/** What is not said stands open: the newest one is meant. */
export interface SeasonName {
  readonly boardId: string | null;
  /** Which life of its journal, for one whose clock was never set. */
  readonly life: number | null;
  readonly day: Day | null;
}

const WRITTEN = /^([0-9a-f]{16})?(?:\/(\d{1,4}))?(?:@(\d{4}-\d\d-\d\d))?$/;
const EXAMPLE =
  'Name a season by its controller, 1a2b3c4d5e6f7a8b, or by a day on which it stood there, 1a2b3c4d5e6f7a8b@2026-03-20 or @2026-03-20.';

/** One of them. `flag`: what it is called in a refusal. */
export function seasonNamed(typed: string, flag: string): SeasonName {
  const [whole = '', boardId, life, dayText] = WRITTEN.exec(typed.trim().toLowerCase()) ?? [];
  const day = dayText === undefined ? null : readDay(dayText);
  if (whole === '' || (dayText !== undefined && day === null))
    throw usage(`${flag} ${shortened(typed)} names no season.`, EXAMPLE, 'not-a-season');
  return { boardId: boardId ?? null, life: life === undefined ? null : Number(life), day };
}

/** Two of them, or null. */
export const twoSeasons: Reader<readonly [SeasonName, SeasonName] | null> = (typed, flag) => {
  if (!Array.isArray(typed)) return null;
  const [first, second, ...others] = typed.map((one) => seasonNamed(String(one), flag));
  if (first !== undefined && second !== undefined && others.length === 0) return [first, second];
  throw usage(
    `${flag} takes two seasons, and ${typed.length} ${typed.length === 1 ? 'is' : 'are'} named.`,
    EXAMPLE,
  );
};
