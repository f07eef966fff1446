/**
 * A plan's tasks as a calendar file (RFC 5545) by ical.js. Each task keeps its UID: written over the file of an
 * earlier plan, what moved gets a higher SEQUENCE, and what is no more to be done is CANCELLED, so that a calendar
 * updates and doubles nothing.
 */
import ICAL from 'ical.js';
import { tzlib_get_ical_block, tzlib_get_timezones } from 'timezones-ical-library';
import type { Task } from '../../shared/planning/agenda';
import { type Day, dayText } from '../../shared/planning/calendar-day';

const PRODUCT = '-//trayward//plan//EN';
/** Which plan a file is of. */
const PLAN_PROPERTY = 'x-trayward-plan';
const CROP_PROPERTY = 'x-trayward-crop';

/** A task with the words that a calendar shows. */
export interface CalendarTask {
  readonly task: Task;
  readonly title: string;
  readonly text: string;
}

/** When on its day: all of it, or minutes after midnight in a time zone of the tz database. */
export type TimeOfDay =
  | { readonly kind: 'all-day' }
  | { readonly kind: 'at'; readonly minute: number; readonly zone: string };

export interface CalendarPlan {
  readonly id: string;
  readonly crop: string;
  readonly title: string;
  /** Least SEQUENCE of what is new or changed. */
  readonly revision: number;
  readonly tasks: readonly CalendarTask[];
  readonly time: TimeOfDay;
}

/** Zones that calendars know, by their names in the tz database. */
export const isZone = (zone: string): boolean => zones().includes(zone);
const zones = (): readonly string[] => [tzlib_get_timezones()].flat();

/** How long a task at a time of day is shown. */
const SHOWN_S = 15 * 60;
/** Calendars know UTC without being told. */
const UTC = ['UTC', 'Etc/UTC'];

/** Which plan a calendar of ours is of; null for anything else. */
export function planOfCalendar(text: string): { id: string; crop: string } | null {
  const calendar = parsed(text);
  if (calendar?.getFirstPropertyValue('prodid') !== PRODUCT) return null;
  const [id, crop] = [PLAN_PROPERTY, CROP_PROPERTY].map((name) =>
    calendar.getFirstPropertyValue(name),
  );
  return typeof id === 'string' && typeof crop === 'string' ? { id, crop } : null;
}

/** One calendar; null for none, for several in one file, and for what is none. */
function parsed(text: string): ICAL.Component | null {
  try {
    const read: unknown[] = ICAL.parse(text);
    return read[0] === 'vcalendar' ? new ICAL.Component(read) : null;
  } catch {
    return null;
  }
}

/** The text of the calendar, at `nowMs` (Unix ms). `before`: text of the same plan's calendar that it replaces, or null. */
export function calendarText(plan: CalendarPlan, nowMs: number, before: string | null): string {
  const calendar = new ICAL.Component('vcalendar');
  calendar.addPropertyWithValue('prodid', PRODUCT);
  calendar.addPropertyWithValue('version', '2.0');
  calendar.addPropertyWithValue('calscale', 'GREGORIAN');
  calendar.addPropertyWithValue('x-wr-calname', plan.title);
  calendar.addPropertyWithValue(PLAN_PROPERTY, plan.id);
  calendar.addPropertyWithValue(CROP_PROPERTY, plan.crop);
  const zone = zoneOf(plan.time);
  if (zone !== null) calendar.addSubcomponent(zone);
  const old = eventsOf(before);
  for (const one of plan.tasks) {
    const uid = uidOf(plan.id, one.task);
    calendar.addSubcomponent(
      dated(eventOf(one, uid, plan.time), old.get(uid), plan.revision, nowMs),
    );
    old.delete(uid);
  }
  for (const gone of old.values()) calendar.addSubcomponent(cancelled(gone, plan.revision, nowMs));
  // What follows END:VCALENDAR in a file is a line break too (section 3.1).
  return `${calendar.toString()}\r\n`;
}

/** A name that is nobody's on the net (RFC 2606). */
const uidOf = (id: string, { kind }: Task): string => `${id}-${kind}@trayward.invalid`;

function eventsOf(before: string | null): Map<string, ICAL.Component> {
  const events = before === null ? [] : (parsed(before)?.getAllSubcomponents('vevent') ?? []);
  return new Map(events.map((event) => [String(event.getFirstPropertyValue('uid')), event]));
}

function zoneOf(time: TimeOfDay): ICAL.Component | null {
  if (time.kind === 'all-day' || UTC.includes(time.zone)) return null;
  const [block] = [tzlib_get_ical_block(time.zone)].flat();
  return block === undefined ? null : new ICAL.Component(ICAL.parse(block));
}

function eventOf(
  { task, title, text }: CalendarTask,
  uid: string,
  time: TimeOfDay,
): ICAL.Component {
  const event = new ICAL.Component('vevent');
  event.addPropertyWithValue('uid', uid);
  addTime(event, 'dtstart', task.day, time);
  if (time.kind === 'all-day') addTime(event, 'dtend', task.day + 1, time);
  else event.addPropertyWithValue('duration', ICAL.Duration.fromSeconds(SHOWN_S));
  const times = task.everyDays === 0 ? 1 : (task.until - task.day) / task.everyDays + 1;
  if (times > 1) {
    const interval = task.everyDays === 1 ? {} : { interval: task.everyDays };
    event.addPropertyWithValue(
      'rrule',
      ICAL.Recur.fromData({ freq: 'DAILY', ...interval, count: times }),
    );
  }
  event.addPropertyWithValue('summary', title);
  event.addPropertyWithValue('description', text);
  // Nobody is busy all day because a tray wants a look.
  event.addPropertyWithValue('transp', 'TRANSPARENT');
  return event;
}

function addTime(event: ICAL.Component, name: string, day: Day, time: TimeOfDay): void {
  const [year = 0, month = 0, date = 0] = dayText(day).split('-').map(Number);
  if (time.kind === 'all-day') {
    event.addPropertyWithValue(name, ICAL.Time.fromData({ year, month, day: date, isDate: true }));
    return;
  }
  const isUtc = UTC.includes(time.zone);
  const written = ICAL.Time.fromData(
    {
      ...{ year, month, day: date, isDate: false },
      ...{ hour: Math.floor(time.minute / 60), minute: time.minute % 60, second: 0 },
    },
    isUtc ? ICAL.Timezone.utcTimezone : undefined,
  );
  const property = event.addPropertyWithValue(name, written);
  if (!isUtc) property.setParameter('tzid', time.zone);
}

/** With the times of the older event where nothing has changed, and a higher SEQUENCE where something has. */
function dated(
  event: ICAL.Component,
  old: ICAL.Component | undefined,
  revision: number,
  nowMs: number,
): ICAL.Component {
  const isSame = old !== undefined && content(old) === content(event);
  const sequence = isSame
    ? sequenceOf(old)
    : Math.max(revision, old === undefined ? 0 : sequenceOf(old) + 1);
  event.addPropertyWithValue('sequence', sequence);
  const stamp = isSame ? old.getFirstPropertyValue('dtstamp') : null;
  event.addPropertyWithValue('dtstamp', stamp ?? instant(nowMs));
  return event;
}

/** What a grower is told by it. */
const content = (event: ICAL.Component): string =>
  ['dtstart', 'dtend', 'duration', 'rrule', 'summary', 'description', 'status']
    .map((name) => event.getFirstProperty(name)?.toICALString() ?? '')
    .join('\n');

const sequenceOf = (event: ICAL.Component): number =>
  Number(event.getFirstPropertyValue('sequence') ?? 0);

function cancelled(old: ICAL.Component, revision: number, nowMs: number): ICAL.Component {
  if (old.getFirstPropertyValue('status') === 'CANCELLED') return old;
  const event = new ICAL.Component(structuredClone(old.toJSON()));
  event.updatePropertyWithValue('status', 'CANCELLED');
  event.updatePropertyWithValue('sequence', Math.max(revision, sequenceOf(old) + 1));
  event.updatePropertyWithValue('dtstamp', instant(nowMs));
  return event;
}

/** To the second, in UTC. */
const instant = (unixMs: number): ICAL.Time =>
  ICAL.Time.fromJSDate(new Date(Math.floor(unixMs / 1000) * 1000), true);
