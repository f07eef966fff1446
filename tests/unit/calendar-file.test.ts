/** Calendars of plans, read by a program that shares nothing with the one that writes them. */
import fc from 'fast-check';
import { convertIcsCalendar, type IcsCalendar, type IcsEvent } from 'ts-ics';
import { describe, expect, it } from 'vitest';
import {
  type CalendarPlan,
  type CalendarTask,
  calendarText,
  isZone,
  planOfCalendar,
} from '../../cli/planning/calendar-file';
import type { TaskKind } from '../../shared/planning/agenda';
import { holds } from '../properties';
import { day, planOf } from './plans';

const NOW_MS = Date.UTC(2026, 11, 1, 9, 30, 15, 400);
const LATER_MS = NOW_MS + 86_400_000;

const tasksOf = (sow: string): CalendarTask[] =>
  planOf({ crop: 'pepper', aim: { by: 'sow', day: day(sow) } }).tasks.map((task) => ({
    task,
    title: `pepper: ${task.kind}`,
    text: 'why; and how, \\ twice\nfor 29 °C',
  }));

const calendar = (changes: Partial<CalendarPlan> = {}): CalendarPlan => ({
  id: '0123456789abcdef',
  crop: 'pepper',
  title: 'Trayward pepper',
  revision: 0,
  tasks: tasksOf('2027-01-28'),
  time: { kind: 'all-day' },
  ...changes,
});

const read = (text: string): IcsCalendar => convertIcsCalendar(undefined, text);
const eventsIn = (text: string): readonly IcsEvent[] => read(text).events ?? [];

function event(text: string, kind: TaskKind): IcsEvent {
  const found = eventsIn(text).filter(
    ({ uid }) => uid === `0123456789abcdef-${kind}@trayward.invalid`,
  );
  const [only] = found;
  if (only === undefined || found.length > 1) throw new Error(`${found.length} of ${kind}`);
  return only;
}

describe('a calendar file', () => {
  const text = calendarText(calendar(), NOW_MS, null);

  it('is what RFC 5545 has: lines of 75 octets, CRLF at each, what is required in each part', () => {
    expect(text.endsWith('END:VCALENDAR\r\n')).toBe(true);
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    for (const line of text.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    expect(text).toMatch(/^BEGIN:VCALENDAR\r\nPRODID:.+\r\nVERSION:2\.0\r\n/);
    const parts = text.split('BEGIN:VEVENT').slice(1);
    expect(parts).toHaveLength(calendar().tasks.length);
    for (const part of parts) {
      expect(part.match(/^UID:/gm)).toHaveLength(1);
      expect(part).toMatch(/^DTSTAMP:20261201T093015Z\r$/m);
      expect(part).toMatch(/^SEQUENCE:0\r$/m);
    }
  });

  it('has each task on its whole day, and says it as it was said', () => {
    const sow = event(text, 'sow');
    expect(sow.start).toMatchObject({ type: 'DATE', date: new Date(Date.UTC(2027, 0, 28)) });
    expect(sow.end).toMatchObject({ type: 'DATE', date: new Date(Date.UTC(2027, 0, 29)) });
    expect(sow.summary).toBe('pepper: sow');
    expect(sow.description).toBe('why; and how, \\ twice\nfor 29 °C');
  });

  it('repeats what is done daily or weekly until its last day', () => {
    const { tasks } = calendar();
    for (const kind of ['air', 'feed-change'] as const) {
      const task = tasks.find((one) => one.task.kind === kind)?.task;
      const rule = event(text, kind).recurrenceRule;
      expect(rule?.frequency).toBe('DAILY');
      const every = rule?.interval ?? 1;
      expect((task?.day ?? 0) + ((rule?.count ?? 0) - 1) * every).toBe(task?.until);
      expect(every).toBe(task?.everyDays);
    }
    expect(event(text, 'sow').recurrenceRule).toBeUndefined();
  });

  it('at a time of day is at that time of the clock on the wall, summer or winter', () => {
    const at = calendarText(
      calendar({
        time: { kind: 'at', minute: 8 * 60, zone: 'Europe/Berlin' },
        tasks: tasksOf('2027-02-20'),
      }),
      NOW_MS,
      null,
    );
    expect(read(at).timezones?.map(({ id }) => id)).toEqual(['Europe/Berlin']);
    expect(at).toContain('DTSTART;TZID=Europe/Berlin:20270220T080000');
    // Clocks change on 28 March 2027: 7:00 UTC before it, 6:00 after.
    expect(event(at, 'sow').start.date.toISOString()).toBe('2027-02-20T07:00:00.000Z');
    const transplant = event(at, 'transplant').start.date.toISOString();
    expect(transplant).toMatch(/^2027-04-\d\dT06:00:00/);
    expect(event(at, 'sow').duration).toMatchObject({ minutes: 15 });
    const utc = calendar({ time: { kind: 'at', minute: 485, zone: 'UTC' } });
    expect(calendarText(utc, NOW_MS, null)).toContain('DTSTART:20270128T080500Z');
  });

  it('takes any words, and gives them back', () => {
    const words = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 200 }).map((one) =>
      // ts-ics trims lines, and no calendar has control characters in text (RFC 5545, section 3.1).
      one.replace(/\p{Cc}/gu, '').trim(),
    );
    holds(
      fc.property(words, (title) => {
        const [first] = calendar().tasks;
        if (first === undefined) throw new Error('no task');
        const one = calendarText(
          calendar({ tasks: [{ ...first, title: `x${title}` }] }),
          NOW_MS,
          null,
        );
        for (const line of one.split('\r\n'))
          expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
        expect(eventsIn(one)[0]?.summary).toBe(`x${title}`);
      }),
    );
  });
});

describe('a calendar that is written again', () => {
  const before = calendarText(calendar(), NOW_MS, null);

  it('is the same to the letter where nothing has changed', () => {
    expect(calendarText(calendar(), LATER_MS, before)).toBe(before);
  });

  it('moves what has moved, under the same UID and a higher SEQUENCE', () => {
    const after = calendarText(calendar({ tasks: tasksOf('2027-01-30') }), LATER_MS, before);
    const uids = (text: string) =>
      eventsIn(text)
        .map(({ uid }) => uid)
        .sort();
    expect(uids(after)).toEqual(uids(before));
    expect(event(after, 'sow').start.date).toEqual(new Date(Date.UTC(2027, 0, 30)));
    expect(event(after, 'sow').sequence).toBe(1);
    expect(event(after, 'sow').stamp.date).toEqual(new Date(Math.floor(LATER_MS / 1000) * 1000));
  });

  it('calls off what is no more to be done, once, and takes it back', () => {
    const fewer = calendar({ tasks: calendar().tasks.filter(({ task }) => task.kind !== 'look') });
    const after = calendarText(fewer, LATER_MS, before);
    expect(event(after, 'look')).toMatchObject({ status: 'CANCELLED', sequence: 1 });
    expect(event(after, 'sow').stamp).toEqual(event(before, 'sow').stamp);
    expect(calendarText(fewer, LATER_MS + 5_000, after)).toBe(after);
    const again = event(calendarText(calendar(), LATER_MS, after), 'look');
    expect(again).toMatchObject({ sequence: 2 });
    expect(again.status).toBeUndefined();
  });

  it('never goes below the revision of its plan, so that a lost file is no step back', () => {
    expect(event(calendarText(calendar({ revision: 3 }), NOW_MS, null), 'sow').sequence).toBe(3);
  });

  it('is known by what it says of itself alone', () => {
    expect(planOfCalendar(before)).toEqual({ id: '0123456789abcdef', crop: 'pepper' });
    for (const text of [
      '',
      'nothing',
      'BEGIN:VCALENDAR\r\nPRODID:x\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n',
    ]) {
      expect(planOfCalendar(text)).toBeNull();
    }
  });

  it('knows zones by the names of the tz database', () => {
    expect(['Europe/Berlin', 'America/New_York', 'UTC'].map(isZone)).toEqual([true, true, true]);
    expect(['Berlin', 'CET+1', '', '__proto__'].map(isZone)).toEqual([false, false, false, false]);
  });
});
