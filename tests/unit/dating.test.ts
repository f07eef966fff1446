import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dateEntries, within } from '../../cli/journal/dating';
import type { JournalEntry } from '../../shared/journal/kinds';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';

const NOON_MS = Date.UTC(2026, 2, 1, 12);

let sequence = 0;
const head = (boot: number, uptimeMs: number) => ({ sequence: ++sequence, boot, uptimeMs });
const note = (boot: number, uptimeMs: number): JournalEntry => ({
  ...head(boot, uptimeMs),
  kind: 'fault',
  code: 0,
  detail: 0,
});
const clock = (boot: number, uptimeMs: number, unixMs: number): JournalEntry => ({
  ...head(boot, uptimeMs),
  kind: 'clock',
  unixMs,
  outageS: 0,
});
const times = (entries: readonly JournalEntry[]) => dateEntries(entries).map((one) => one.unixMs);

describe('the time of day of an entry', () => {
  it('comes from the clock set in its boot, for entries before it too', () => {
    const entries = [note(1, 0), clock(1, HOUR_MS, NOON_MS), note(1, 2 * HOUR_MS)];
    expect(times(entries)).toEqual([NOON_MS - HOUR_MS, NOON_MS, NOON_MS + HOUR_MS]);
  });

  it('is never taken from another boot: nobody knows how long the power was off', () => {
    const entries = [clock(1, 0, NOON_MS), note(2, 0), note(2, HOUR_MS)];
    expect(times(entries)).toEqual([NOON_MS, null, null]);
  });

  it('set again by a little, holds from there on: clocks drift', () => {
    const entries = [
      note(1, 0),
      clock(1, HOUR_MS, NOON_MS),
      note(1, 2 * HOUR_MS),
      clock(1, 3 * HOUR_MS, NOON_MS + 2 * HOUR_MS + 3000),
      note(1, 4 * HOUR_MS),
    ];
    expect(times(entries)).toEqual([
      NOON_MS - HOUR_MS,
      NOON_MS,
      NOON_MS + HOUR_MS,
      NOON_MS + 2 * HOUR_MS + 3000,
      NOON_MS + 3 * HOUR_MS + 3000,
    ]);
  });

  it('that was wrong is set right for all of its boot, and for no other', () => {
    const wrong = NOON_MS + 100 * 24 * HOUR_MS;
    const entries = [
      note(1, 0),
      clock(1, HOUR_MS, wrong),
      note(1, 2 * HOUR_MS),
      clock(1, 3 * HOUR_MS, NOON_MS),
      note(1, 4 * HOUR_MS),
      clock(2, 0, wrong),
    ];
    const hours = (times(entries).slice(0, 5) as number[]).map((ms) => (ms - NOON_MS) / HOUR_MS);
    expect(hours).toEqual([-3, -2, -1, 0, 1]);
    expect(times(entries)[5]).toBe(wrong);
  });

  it('where it is unknown lies between the known ones around it', () => {
    const dated = dateEntries([
      note(1, 0),
      clock(2, 0, NOON_MS),
      note(3, 500),
      note(3, 900),
      clock(4, 0, NOON_MS + HOUR_MS),
      note(5, 0),
    ]);
    expect(dated.map(({ afterMs, beforeMs }) => [afterMs, beforeMs])).toEqual([
      [null, NOON_MS],
      [NOON_MS, NOON_MS],
      [NOON_MS, NOON_MS + HOUR_MS],
      [NOON_MS, NOON_MS + HOUR_MS],
      [NOON_MS + HOUR_MS, NOON_MS + HOUR_MS],
      [NOON_MS + HOUR_MS, null],
    ]);
  });

  it('says of which life of the journal it is', () => {
    expect(dateEntries([note(1, 0)], 3)[0]?.life).toBe(3);
  });

  it('passes as uptime does within a boot whose clock was set once, wherever that was', () => {
    const uptimes = fc.array(fc.nat(90 * 24 * HOUR_MS), {
      minLength: 1,
      maxLength: 40,
      size: 'max',
    });
    holds(
      fc.property(uptimes, fc.nat(), (unsorted, pick) => {
        const sorted = [...unsorted].sort((a, b) => a - b);
        const at = pick % sorted.length;
        const setMs = sorted[at] ?? 0;
        const entries = sorted.map((uptimeMs, i) =>
          i === at ? clock(7, uptimeMs, NOON_MS) : note(7, uptimeMs),
        );
        expect(times(entries)).toEqual(sorted.map((uptimeMs) => NOON_MS + uptimeMs - setMs));
      }),
    );
  });
});

describe('a span of time asked for', () => {
  const [before, known, between, , after] = dateEntries([
    note(1, 0),
    clock(2, 0, NOON_MS),
    note(3, 0),
    clock(4, 0, NOON_MS + HOUR_MS),
    note(5, 0),
  ]);
  if (!before || !known || !between || !after) throw new Error('five entries');

  it('has the entries in it, its ends included, and no others', () => {
    expect(within(known, NOON_MS, NOON_MS)).toBe(true);
    expect(within(known, NOON_MS + 1, null)).toBe(false);
    expect(within(known, null, NOON_MS - 1)).toBe(false);
    expect(within(known, null, null)).toBe(true);
  });

  it('has an entry of unknown time when it may lie in it: none is hidden', () => {
    expect(within(between, NOON_MS + 10, NOON_MS + 20)).toBe(true);
    expect(within(between, NOON_MS + 2 * HOUR_MS, null)).toBe(false);
    expect(within(between, null, NOON_MS - 1)).toBe(false);
    expect(within(before, null, 0)).toBe(true);
    expect(within(after, NOON_MS + 99 * HOUR_MS, null)).toBe(true);
    expect(within(after, null, NOON_MS)).toBe(false);
    expect(within(before, NOON_MS + 1, null)).toBe(false);
  });
});
