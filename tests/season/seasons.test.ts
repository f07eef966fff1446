/**
 * The agronomic suite: crops as shipped, from a dry tray on, with a grower who makes the rounds. Judged by
 * the plants themselves, the bench's truth and the journal. A sample; `npm run bench -- seasons` runs them all.
 */
import { describe, expect, it } from 'vitest';
import type { HabitName } from '../../firmware/bench/season/habits';
import type { CropFileName } from '../../shared/profile/host/crops';
import { bundled } from '../bundle';

const { judgeNuisances, judgeSeason, planFor, rehearsalOf, runSeason } =
  await bundled<typeof import('./entry')>('tests/season/entry.ts');

/** A season takes seconds; a machine that others keep busy, a few times as long. */
const SLOW_MACHINE_MS = 300_000;
/** Long enough for emergence, a mark that comes late, and the first feed five days after it. */
const TO_FIRST_FEED_DAYS = 14;

type Row = readonly [
  crop: CropFileName,
  roomC: number,
  seed: number,
  habits: HabitName,
  days: number,
];

const SAMPLE: readonly Row[] = [
  ['tomato', 18, 3, 'third', TO_FIRST_FEED_DAYS],
  ['cucumber', 22, 5, 'late', TO_FIRST_FEED_DAYS],
  ['basil', 25, 7, 'late', TO_FIRST_FEED_DAYS],
  ['lettuce', 18, 3, 'forgetful', TO_FIRST_FEED_DAYS],
  ['pepper', 22, 4, 'daily', TO_FIRST_FEED_DAYS],
  ['lettuce', 22, 7, 'daily', 30],
  ['cucumber', 18, 4, 'daily', 26],
];

describe('a season without a fault', () => {
  const verdicts: ReturnType<typeof judgeSeason>[] = [];

  it.each(SAMPLE)(
    '%s in a room of %i C, seed %i, %s grower, %i days: fed in time, with salts enough, never dry or out of band in silence, nothing latched',
    (crop, roomC, seed, habits, days) => {
      const verdict = judgeSeason(runSeason({ ...planFor(crop, roomC, seed, habits), days }));
      verdicts.push(verdict);
      expect(verdict.faults).toEqual([]);
    },
    SLOW_MACHINE_MS,
  );

  it('has no more than one alarm without a cause in four weeks of a tray, all of them together', () => {
    expect(verdicts.length).toBeGreaterThan(0);
    expect(judgeNuisances(verdicts)).toMatchObject({ holds: true });
  });
});

describe('a season with sun, mists, lifted trays and a trembling platform', () => {
  it.each([
    ['cucumber', 18, 7, 'forgetful', 9],
    ['basil', 14, 1, 'daily', 6],
    ['basil', 14, 1002, 'third', 35],
    ['tomato', 18, 7, 'forgetful', 8],
    ['pepper', 28, 18, 'third', 30],
  ] as const)(
    '%s in a room of %i C, seed %i, %s grower, %i days: no alarm without a cause, and none that holds off heat or water',
    (crop, roomC, seed, habits, days) => {
      const plan = { ...planFor(crop, roomC, seed, habits), days, annoyances: true };
      const { raised, lockedOutH } = judgeSeason(runSeason(plan));
      expect(raised.filter(({ right }) => !right)).toEqual([]);
      expect(lockedOutH).toBe(0);
    },
    SLOW_MACHINE_MS,
  );
});

describe('a season of which calm ticks are left out', () => {
  it(
    'is the season that has them all: the same doses and alarms, as warm, as much heat',
    () => {
      const plan = { ...planFor('cucumber', 20, 100, 'daily'), days: 12 };
      const all = rehearsalOf(runSeason({ ...plan, everyTick: true }));
      const some = rehearsalOf(runSeason(plan));
      expect(all.ml).toBeGreaterThan(300);
      expect(some.ml).toBe(all.ml);
      expect(some.alarms.map(({ alarm }) => alarm)).toEqual(all.alarms.map(({ alarm }) => alarm));
      for (const key of ['emergedDay', 'firstFeedDay', 'driestShare'] as const) {
        expect(some[key]).toBeCloseTo(all[key] ?? 0, 1);
      }
      expect(some.matKwh / all.matKwh).toBeCloseTo(1, 1);
      for (const [i, stage] of all.stages.entries()) {
        expect(some.stages[i]?.coldestC).toBeCloseTo(stage.coldestC, 0);
        expect(some.stages[i]?.inBandShare).toBeCloseTo(stage.inBandShare, 1);
      }
    },
    SLOW_MACHINE_MS,
  );
});

describe('plugs soaked in plain water', () => {
  it(
    'are short of salts two weeks after emergence, though the tray feeds them in time',
    () => {
      const plan = { ...planFor('tomato', 22, 3, 'daily'), soakEc: 0, days: 20 };
      expect(judgeSeason(runSeason(plan)).faults).toEqual([
        expect.stringMatching(/^short of salts/),
        expect.stringMatching(/^growth 0\.[2-6]/),
      ]);
    },
    SLOW_MACHINE_MS,
  );
});
