/** Days of the calendar as whole numbers, so that they are counted without any clock or time zone. */
import { DAY_MS } from '../units/time';

/** Days since 1 January 1970, of whatever place the grower is in. */
export type Day = number;

/** 1 January 1970 was a Thursday. */
const WEEKDAYS = ['Thu', 'Fri', 'Sat', 'Sun', 'Mon', 'Tue', 'Wed'] as const;
export type Weekday = (typeof WEEKDAYS)[number];

/** The day written `2027-03-20`; null for anything else, and for days that the calendar does not have. */
export function readDay(text: string): Day | null {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return null;
  const unixMs = Date.parse(`${text}T00:00Z`);
  if (Number.isNaN(unixMs)) return null;
  const day = unixMs / DAY_MS;
  // 31 February is read as 3 March, and written as that again.
  return dayText(day) === text ? day : null;
}

/** The same as `2027-03-20`. */
export const dayText = (day: Day): string => new Date(day * DAY_MS).toISOString().slice(0, 10);

/** Short English name of the day of the week. */
export function weekday(day: Day): Weekday {
  const week = WEEKDAYS.length;
  return WEEKDAYS[((day % week) + week) % week] ?? 'Thu';
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A day on a page that names its year elsewhere: `20 Mar`. */
export function shortDay(day: Day): string {
  const date = new Date(day * DAY_MS);
  return `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()] ?? ''}`;
}
