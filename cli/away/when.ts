/** Times ahead as people say them: `this evening`, `tomorrow morning`, `Thursday evening`. Pure but for this place's zone of time. */
import { DAY_MS } from '../../shared/units/time';

const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** From which hour on each part of a day is called so; before the first, the night before goes on. */
const PARTS = [
  { fromHour: 5, name: 'morning' },
  { fromHour: 12, name: 'afternoon' },
  { fromHour: 17, name: 'evening' },
  { fromHour: 22, name: 'night' },
] as const;

/** The weekday alone says which one is meant within so many days. */
const WEEKDAY_DAYS = 6;

/** A day by the calendar of this place, counted from 1970. */
function dayOf(unixMs: number): number {
  const local = new Date(unixMs);
  return Math.floor(Date.UTC(local.getFullYear(), local.getMonth(), local.getDate()) / DAY_MS);
}

/** When `unixMs` is, seen from `nowMs`: its day, and which part of it. */
export function whenText(unixMs: number, nowMs: number): string {
  const hour = new Date(unixMs).getHours();
  const part = PARTS.filter(({ fromHour }) => hour >= fromHour).at(-1)?.name ?? 'night';
  // After midnight it is still the night of the day before, and nobody calls it otherwise.
  const day = dayOf(unixMs) - (hour < PARTS[0].fromHour ? 1 : 0);
  if (day <= dayOf(nowMs)) return part === 'night' ? 'tonight' : `this ${part}`;
  const name = nameOf(day, nowMs);
  return name.includes(' ') ? `${name}, ${part}` : `${name} ${part}`;
}

/** The day alone: a task has no hour. */
export function dayText(unixMs: number, nowMs: number): string {
  const day = dayOf(unixMs);
  return day <= dayOf(nowMs) ? 'today' : nameOf(day, nowMs);
}

function nameOf(day: number, nowMs: number): string {
  const ahead = day - dayOf(nowMs);
  if (ahead === 1) return 'tomorrow';
  const date = new Date(day * DAY_MS);
  const weekday = WEEKDAYS[date.getUTCDay()] ?? '';
  if (ahead <= WEEKDAY_DAYS) return weekday;
  return `${weekday.slice(0, 3)} ${date.getUTCDate()} ${MONTHS[date.getUTCMonth()] ?? ''}`;
}
