/** A moment as a grower says it: a day, a time, or how long ago. */
import { readDay } from '../../shared/planning/calendar-day';
import { parseQuantity } from '../../shared/units';
import { usage } from '../failure';
import { type Reader, shortened } from './options';

/** When it was, Unix ms, seen from `nowMs`. */
export type Moment = (nowMs: number) => number;

const EXAMPLE =
  'Write 2026-03-01 or 2026-03-01T14:30, in local time; today or yesterday; or how long ago: 12h, "2 weeks".';

/** A day, with or without a time of day, of this place unless a zone is named. */
const WRITTEN = /^(\d{4}-\d\d-\d\d)(?:[T ](\d\d:\d\d(?::\d\d)?)(Z|[+-]\d\d:\d\d)?)?$/;

/** Days whose beginning is meant, by how many they lie back. */
const DAYS: Readonly<Record<string, number>> = { today: 0, yesterday: 1 };

function written(typed: string): number | null {
  const [, day = '', time = '00:00', zone = ''] = WRITTEN.exec(typed) ?? [];
  // Without its time, a day would be taken as one of UTC.
  const unixMs = Date.parse(`${day}T${time}${zone}`);
  return readDay(day) !== null && !Number.isNaN(unixMs) ? unixMs : null;
}

/** The beginning of a day of this place. By the calendar: a day has 23 hours when clocks change. */
function startOfDay(nowMs: number, daysAgo: number): number {
  const now = new Date(nowMs);
  return new Date(now.getFullYear(), now.getMonth(), now.getDate() - daysAgo).getTime();
}

/** A moment, or null. Throws a usage error with every way to write one. */
export const moment: Reader<Moment | null> = (typed, flag) => {
  if (typeof typed !== 'string') return null;
  const text = typed.trim();
  const unixMs = written(text);
  if (unixMs !== null) return () => unixMs;
  const daysAgo = DAYS[text.toLowerCase()];
  if (daysAgo !== undefined) return (nowMs) => startOfDay(nowMs, daysAgo);
  const ago = parseQuantity('duration', text.replace(/\s*ago$/i, ''));
  if (ago.ok) return (nowMs) => nowMs - ago.value * 1000;
  throw usage(`${flag} ${shortened(typed)} is no date or time.`, EXAMPLE);
};
