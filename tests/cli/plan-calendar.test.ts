/** Calendars of plans: what is updated, what is left alone, and that no task is doubled. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { convertIcsCalendar } from 'ts-ics';
import { describe, expect, it } from 'vitest';
import { at, eachInItsPlace, noon, PEPPER, resultOf, told, trayward, world } from './plan-place';
import { runIn } from './worlds';

eachInItsPlace();

describe('a calendar of a plan', () => {
  const events = (file: string) =>
    (convertIcsCalendar(undefined, readFileSync(file, 'utf8')).events ?? []).map((one) => ({
      uid: one.uid,
      sequence: one.sequence ?? 0,
      day: one.start.date.toISOString().slice(0, 10),
    }));
  const uids = (file: string): string[] =>
    events(file)
      .map(({ uid }) => uid)
      .sort();

  it('is updated by a plan for another date, and doubles nothing', async () => {
    const file = at('p.ics');
    const first = await resultOf(...PEPPER, '--ics', file);
    const before = uids(file);
    expect(before).toHaveLength(first.tasks.length);
    const text = readFileSync(file, 'utf8');
    await resultOf(...PEPPER, '--ics', file);
    expect(readFileSync(file, 'utf8')).toBe(text);
    await resultOf(...PEPPER, '--ready', '2027-03-27', '--ics', file);
    expect(uids(file)).toEqual(before);
    const transplant = events(file).find(({ uid }) => uid.includes('-transplant@'));
    expect(transplant).toMatchObject({ day: '2027-03-27', sequence: 1 });
  });

  it('leaves alone what is not of this plan, unless it is told', async () => {
    for (const [name, text, why] of [
      [
        'diary.ics',
        'BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n',
        'no calendar of this',
      ],
      ['empty.ics', '', 'no calendar of this'],
    ] as const) {
      writeFileSync(at(name), text);
      const { code, stderr } = await trayward(...PEPPER, '--ics', at(name), '--keep', 'x');
      expect(code).toBe(1);
      expect(told(stderr)).toContain(why);
      expect(readFileSync(at(name), 'utf8')).toBe(text);
      // Nothing is half done: it is not kept either.
      expect(existsSync(at('store'))).toBe(false);
      expect((await trayward(...PEPPER, '--ics', at(name), '--force')).code).toBe(0);
    }
    const lettuce = ['plan', 'lettuce', '--ready', '2027-03-20', '--plants', '60'];
    const other = await trayward(...lettuce, '--ics', at('diary.ics'));
    expect(other.code).toBe(1);
    expect(told(other.stderr)).toContain('of a plan for pepper');
  });

  it('of one kept plan is not taken over by another, but one of none is', async () => {
    await resultOf(...PEPPER, '--ics', at('a.ics'));
    const before = uids(at('a.ics'));
    const { id } = await resultOf(...PEPPER, '--ics', at('a.ics'), '--keep', 'a');
    expect(uids(at('a.ics'))).toEqual(before);
    const other = await trayward(...PEPPER, '--ics', at('a.ics'), '--keep', 'b');
    expect(told(other.stderr)).toContain('the calendar of another plan');
    expect((await resultOf(...PEPPER, '--keep', 'b')).id).not.toBe(id);
  });

  it('of a kept plan is not moved by another plan that happens to be called so', async () => {
    await resultOf(...PEPPER, '--keep', 'pep', '--ics', at('pep.ics'));
    await runIn(world(noon(2027, 2, 1)), ['plan', 'update', 'pep', '--sown', '2027-01-30']);
    const before = readFileSync(at('pep.ics'), 'utf8');
    const { code, stderr } = await trayward(...PEPPER, '--ics', at('pep.ics'));
    expect(code).toBe(1);
    expect(told(stderr)).toContain('those of the kept plan "pep"');
    expect(readFileSync(at('pep.ics'), 'utf8')).toBe(before);
    expect((await trayward(...PEPPER, '--ics', at('other.ics'))).code).toBe(0);
  });

  it('of two plans never share a task', async () => {
    await resultOf(...PEPPER, '--ics', at('a.ics'));
    await resultOf(...PEPPER, '--ics', at('b.ics'));
    expect(uids(at('a.ics')).filter((uid) => uids(at('b.ics')).includes(uid))).toEqual([]);
  });
});
