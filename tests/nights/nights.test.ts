/**
 * Nights on the bench, explained from their journal and held against what really went wrong. A sample of even seeds;
 * `npm run bench -- nights` runs six hundred, and tells of those that nobody tuned the rules on.
 */
import { describe, expect, it } from 'vitest';
import type { FaultName } from '../../firmware/bench/faults';
import type { NightKind } from '../../firmware/bench/nights/plan';
import type { SceneName } from '../../firmware/bench/nights/scenes';
import { HOUR_MS } from '../../shared/units/time';
import { bundled } from '../bundle';

const { judgeNight, nightOf, runNight } =
  await bundled<typeof import('./entry')>('tests/nights/entry.ts');

const SLOW_MACHINE_MS = 120_000;
/** Usual is known by then, and a third of the night is left to see what comes of it. */
const FROM_MS = 21 * HOUR_MS;
const FOR_MS = 3 * HOUR_MS;
const ASKED_MS = 26 * HOUR_MS;

function judged(kind: NightKind, scene: SceneName, roomC: number, faults: readonly FaultName[]) {
  const troubles = faults.map((fault) => ({ fault, fromMs: FROM_MS, forMs: FOR_MS }));
  const askedMs = kind === 'calm' ? 3 * 24 * HOUR_MS : ASKED_MS;
  return judgeNight(
    runNight({ ...nightOf(2, kind), scene, roomC, startHour: 18, troubles, askedMs }),
  );
}

describe('a night in which one thing went wrong', () => {
  it.each<[FaultName, SceneName, number]>([
    ['mains-cut', 'germinating', 17],
    ['mat-dead', 'germinating', 17],
    ['mat-lead-open', 'germinating', 17],
    ['mat-fuse-blown', 'cotyledons', 18],
    ['mat-stuck-on', 'germinating', 22],
    ['mat-switch-welded', 'germinating', 20],
    ['probe-stuck', 'cotyledons', 18],
    ['lid-open', 'germinating', 23],
    ['reservoir-empty', 'fed', 20],
    ['tube-off', 'fed', 20],
    ['siphon', 'cotyledons', 20],
    ['tray-lifted', 'cotyledons', 18],
  ])(
    '%s, %s in a room of %i C, is named first',
    (fault, scene, roomC) => {
      const verdict = judged('single', scene, roomC, [fault]);
      expect(verdict.run.felt, 'it can be felt').toEqual([fault]);
      expect(verdict.first).toBe(verdict.due[0]);
    },
    SLOW_MACHINE_MS,
  );
});

describe('a night in which two things went wrong', () => {
  it(
    'has both named',
    () => {
      const { due, named } = judged('pair', 'germinating', 17, ['mat-dead', 'lid-open']);
      expect(due).toHaveLength(2);
      expect(named).toEqual(expect.arrayContaining([...due]));
    },
    SLOW_MACHINE_MS,
  );
});

describe('days without a fault, aired daily', () => {
  it.each<[SceneName, number]>([
    ['germinating', 18],
    ['fed', 22],
  ])(
    '%s, in a room of %i C, have no incident',
    (scene, roomC) => {
      expect(judged('calm', scene, roomC, []).story.incidents).toEqual([]);
    },
    SLOW_MACHINE_MS,
  );
});
