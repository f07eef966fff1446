/** Who is told, and when: quiet hours hold back what can wait, and what is over by their end is told as that alone. */
import { describe, expect, it } from 'vitest';
import { afterQuiet, deliveriesOf, madeNeedless } from '../../cli/keep/address';
import type { Message } from '../../cli/keep/outbox/state';
import { tell } from './room';

const QUIET = { from: 22 * 60, to: 6 * 60 + 30 };
const at = (h: number, min = 0, day = 1): number => new Date(2026, 2, day, h, min).getTime();
const message = (changes: Partial<Message>): Message => ({
  ...{ id: 'k-1', kind: 'new', priority: 'high', tray: 'Pepper', topic: 1, madeMs: at(23) },
  ...{ subject: 's', text: 't' },
  ...changes,
});

describe('quiet hours', () => {
  it.each([
    [at(21, 59), at(21, 59)],
    [at(22), at(6, 30, 2)],
    [at(3, 0, 2), at(6, 30, 2)],
    [at(6, 30, 2), at(6, 30, 2)],
  ])('at %d a message may go at %d', (nowMs, goesMs) => {
    expect(afterQuiet(QUIET, nowMs)).toBe(goesMs);
  });

  it('hold back what is not urgent, and never what is', () => {
    const ann = [tell('Ann', 'mail', { quiet: QUIET })];
    const goes = (changes: Partial<Message>) =>
      deliveriesOf(message(changes), ann, at(23))[0]?.notBeforeMs;
    expect(goes({ priority: 'medium' })).toBe(at(6, 30, 2));
    expect(goes({ priority: 'high' })).toBe(at(23));
    expect(goes({ priority: 'high', kind: 'over' })).toBe(at(23));
  });
});

describe('somebody', () => {
  it.each([
    [{}, ['new', 'morning']],
    [{ what: 'alarms' }, ['new']],
    [{ what: 'morning' }, ['morning']],
    [{ what: 'urgent' }, []],
    [{ trays: ['Basil'] }, ['morning']],
  ] as const)('who wants %j is told of %j', (changes, kinds) => {
    const told = (['new', 'morning'] as const).filter(
      (kind) =>
        deliveriesOf(
          message({ kind, priority: 'medium', tray: kind === 'morning' ? null : 'Pepper' }),
          [tell('Ann', 'mail', changes)],
          at(12),
        ).length > 0,
    );
    expect(told).toEqual(kinds);
  });

  it('is not told by a door that it has failed', () => {
    const both = [tell('Ann', 'mail'), tell('Ann', 'phone')];
    const told = deliveriesOf(message({ tray: null }), both, at(12), 'mail');
    expect(told.map((one) => one.tell)).toEqual(['Ann by phone']);
  });
});

describe('what waits', () => {
  const ann = [tell('Ann', 'mail', { quiet: QUIET })];
  const waiting = (changes: Partial<Message>) => deliveriesOf(message(changes), ann, at(23));
  const needless = (old: Partial<Message>, by: Partial<Message>): boolean =>
    madeNeedless(waiting(old), waiting({ id: 'k-2', ...by }), at(23)).length > 0;

  it('is made needless by what is newer, but an urgent alarm never', () => {
    expect(needless({ kind: 'still' }, { kind: 'still' })).toBe(true);
    expect(needless({ kind: 'still' }, { kind: 'still', topic: 2 })).toBe(false);
    expect(needless({ kind: 'new' }, { kind: 'still' })).toBe(false);
    expect(needless({ kind: 'new' }, { kind: 'over' })).toBe(false);
    expect(
      needless({ kind: 'new', priority: 'medium' }, { kind: 'over', priority: 'medium' }),
    ).toBe(true);
    expect(needless({ kind: 'morning', topic: null }, { kind: 'morning', topic: null })).toBe(true);
  });
});
