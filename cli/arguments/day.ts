/** A day of the calendar, as a grower writes it. */
import { type Day, readDay } from '../../shared/planning/calendar-day';
import { usage } from '../failure';
import { type Reader, shortened } from './options';

/** A day, or null. */
export const calendarDay: Reader<Day | null> = (typed, flag) => {
  if (typeof typed !== 'string') return null;
  const day = readDay(typed.trim());
  if (day !== null) return day;
  throw usage(
    `${flag} ${shortened(typed)} is no day of the calendar.`,
    'Write year, month and day: 2027-03-20.',
    'not-a-day',
  );
};
