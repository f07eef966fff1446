/** What a journal tells of causes is reckoned when it can have changed, and not with each reading. */
import { expect, it } from 'vitest';
import type { Detail, Kept } from '../../cli/keep/tray/detail';
import { NO_DETAIL } from '../../cli/keep/tray/detail';
import { Details } from '../../cli/keep/tray/details';
import type { JournalEntry } from '../../shared/journal/kinds';
import { MINUTE_MS } from '../../shared/units/time';

/** A tray whose journal grows: what the keeper has of it, and how often that was reckoned. */
function tray() {
  const entries: JournalEntry[] = [];
  let reckoned = 0;
  const details = new Details((): Detail => {
    reckoned += 1;
    return { ...NO_DETAIL, dryAtMs: reckoned };
  });
  const kept = (atMin: number, life = 1): Kept => ({
    life: { life, entries: [...entries], damaged: 0 },
    profiles: { byId: new Map(), activeId: null },
    ...{ status: null, units: 'metric', nowMs: atMin * MINUTE_MS },
  });
  return {
    writes: (kind: JournalEntry['kind']): void => {
      entries.push({ kind, sequence: entries.length + 1, boot: 1, uptimeMs: 0 } as JournalEntry);
    },
    lately: (atMin: number, life?: number) => details.lately('Pepper', kept(atMin, life)).dryAtMs,
    now: (atMin: number) => details.now('Pepper', kept(atMin)).dryAtMs,
  };
}

it('is not reckoned again for readings alone', () => {
  const { writes, lately } = tray();
  writes('alarm');
  expect(lately(0)).toBe(1);
  for (let min = 5; min < 30; min += 5) {
    writes(min < 15 ? 'trace' : 'reading');
    expect(lately(min)).toBe(1);
  }
});

it('is reckoned again after half an hour of readings', () => {
  const { writes, lately } = tray();
  writes('reading');
  lately(0);
  writes('reading');
  expect([lately(29), lately(30), lately(31)]).toEqual([1, 2, 2]);
});

it.each(['alarm', 'dose', 'mark', 'boot'] as const)(
  'is reckoned again at once after an entry "%s"',
  (kind) => {
    const { writes, lately } = tray();
    writes('reading');
    lately(0);
    writes(kind);
    writes('reading');
    expect([lately(1), lately(2)]).toEqual([2, 2]);
  },
);

it('is reckoned by the last entry for a message, and once', () => {
  const { writes, lately, now } = tray();
  writes('alarm');
  lately(0);
  writes('reading');
  expect([lately(5), now(5), now(5), lately(6)]).toEqual([1, 2, 2, 2]);
});

it('is reckoned again when the journal begins anew', () => {
  const { writes, lately } = tray();
  writes('reading');
  expect([lately(0, 1), lately(1, 2), lately(2, 2)]).toEqual([1, 2, 2]);
});
