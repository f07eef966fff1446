/** What readings of a board that is being tried mean. */

import { describe, expect, it } from 'vitest';
import type { MatTrouble } from '../../cli/board/bench';
import {
  BOARD_LIMITS,
  judgeIce,
  judgeMat,
  judgeMatOff,
  judgeProbes,
  judgePump,
  judgeWarmed,
  warmedProbe,
} from '../../cli/board/judge';
import { judgeEmpty, judgeLoaded } from '../../cli/board/judge-scale';
import { assumedCountsPerG } from '../../cli/calibration/scale';
import type { ProbeName } from '../../shared/board/probes';
import type { ProbesRead, ScaleMeasurement } from '../../shared/link/methods';

const CELL_G = 10_000;
const read = (rootZoneC: number | null, matC: number | null): ProbesRead => ({
  ...{ rootZoneC, rootZoneCode: 2000, probe: 'ok', calibration: null },
  ...{ matC, matCode: 2000, matProbe: 'ok', matCalibration: null },
  ...{ rootZoneCurve: 'reference', matCurve: 'reference' },
});
const measured = (changes: Partial<ScaleMeasurement>): ScaleMeasurement => ({
  ...{ done: true, samples: 30, wanted: 30, meanCode: 0, sdCode: 10, driftCode: 0 },
  ...{ saturated: false, silent: false, rootZoneC: 20 },
  ...changes,
});

describe('probes that lie in one room', () => {
  it.each([
    [20, 21, 'good', '20.0 °C, mat probe 21.0 °C'],
    [20, 20 + BOARD_LIMITS.apartK + 0.1, 'wrong', 'differ by 4.10 K'],
    [-3, -2, 'wrong', 'no room has'],
    [60, 59, 'wrong', 'no room has'],
    [null, 20, 'wrong', 'no reading'],
  ] as const)('of %s and %s C are %s', (rootZoneC, matC, verdict, says) => {
    const found = judgeProbes(read(rootZoneC, matC), 'metric');
    expect(found.verdict).toBe(verdict);
    expect(found.says).toContain(says);
  });

  it('are told in the units in use', () => {
    expect(judgeProbes(read(20, 26), 'us').says).toContain('differ by 10.80 °F');
  });
});

describe('a probe in a warm hand', () => {
  const judged = (held: ProbeName, ...reads: [ProbesRead, ProbesRead]) => {
    const warmed = warmedProbe(held, ...reads);
    return warmed === null ? null : judgeWarmed(held, warmed, 'metric');
  };
  it('is nothing yet while it rises by less than a hand warms it', () => {
    expect(warmedProbe('mat', read(20, 20), read(20, 22.9))).toBeNull();
  });
  it('is good though the other one is still warm from before', () => {
    expect(judged('mat', read(31, 20), read(28, 23.1))?.verdict).toBe('good');
  });
  it('is swapped with the one that rises in its place', () => {
    expect(judged('rootZone', read(20, 20), read(20, 24))?.says).toContain('swapped');
  });
});

it.each([
  [1.9, 'good'],
  [-1.9, 'good'],
  [2.1, 'wrong'],
  [15.1, 'untried'],
] as const)('a probe that reads %d C in ice is %s', (celsius, verdict) => {
  expect(judgeIce(read(20, 20), read(celsius, 20), 'metric').verdict).toBe(verdict);
});

it('a probe that reads wrong in ice, or far from the room, may be another NTC: the remedy is named', () => {
  for (const found of [
    judgeIce(read(20, 20), read(2.5, 20), 'metric'),
    judgeProbes(read(60, 20), 'metric'),
    judgeProbes(read(20, 27), 'metric'),
    judgeProbes({ ...read(null, 20), rootZoneCurve: 'lost' }, 'metric'),
  ]) {
    expect(found.verdict).toBe('wrong');
    expect(found.next).toContain('trayward probe curve');
  }
});

describe('a scale', () => {
  const counts = assumedCountsPerG(CELL_G);
  it.each([
    [{}, null],
    [{ silent: true }, 'says nothing'],
    [{ saturated: true }, 'end of its range'],
    [{ sdCode: 5.9 * counts }, null],
    [{ sdCode: 6.1 * counts }, 'scatter by'],
  ])('that is bare, with %j', (changes, says) => {
    const found = judgeEmpty(measured(changes), CELL_G, 'metric');
    if (says === null) expect(found).toBeNull();
    else expect(found?.says).toContain(says);
  });

  it.each([
    [1, 'good', 'a cell of 1.0 mV/V'],
    [2, 'good', 'a cell of 2.0 mV/V'],
    [0.5, 'wrong', 'gave 0.50 mV/V'],
    [4, 'wrong', 'gave 4.00 mV/V'],
    [-1, 'wrong', 'falls when 2 kg are put on'],
  ] as const)('under 2 kg, as of a cell of %d mV/V, is %s', (share, verdict, says) => {
    const setup = { weightG: 2000, cellG: CELL_G };
    const found = judgeLoaded(5000, 5000 + share * 2000 * counts, setup, 'metric');
    expect(found.verdict).toBe(verdict);
    expect(found.says).toContain(says);
  });
});

it.each([
  [10, { isDead: false, isCalibrated: true }, 'good', 'brought 10 g'],
  [10, { isDead: false, isCalibrated: false }, 'good', 'brought water'],
  [1, { isDead: false, isCalibrated: true }, 'wrong', 'a few drops'],
  [0.1, { isDead: false, isCalibrated: true }, 'wrong', 'brought no water'],
  [0.1, { isDead: true, isCalibrated: true }, 'wrong', 'there is no supply'],
  [-90, { isDead: false, isCalibrated: true }, 'untried', 'grew lighter'],
] as const)('a pump that brings %d g, %j, is %s', (gainedG, known, verdict, says) => {
  const found = judgePump(gainedG, known, 'metric');
  expect(found.verdict).toBe(verdict);
  expect(found.says).toContain(says);
});

describe('a mat', () => {
  const at = (roseK: number, trouble: MatTrouble | null, isOver: boolean) =>
    judgeMat(roseK, { forMs: 240_000, trouble, isOver }, 'metric');
  it('is good as soon as its own probe is warm', () => {
    expect(at(2, null, false)).toMatchObject({ verdict: 'good' });
  });
  it('is waited for meanwhile', () => {
    expect(at(1.9, null, false)).toBeNull();
  });
  it('without a supply is told at once, and a dead one at the end', () => {
    expect(at(0.1, 'dead', false)?.says).toContain('there is no supply');
    expect(at(0.1, null, true)?.next).toContain('TC1');
  });
  it('that is cut off is told at once, and where', () => {
    expect(at(0.1, 'fuse', false)?.next).toContain('F2');
    expect(at(0.1, 'lead', false)?.next).toContain('plug');
    expect(at(0.1, 'switch', false)?.next).toContain('Q1');
  });
  it('whose own switch is welded is wrong however warm it grows', () => {
    expect(at(5, 'welded', false)).toMatchObject({ verdict: 'wrong' });
  });
  it('that heats on when it is off is to be unplugged', () => {
    expect(judgeMatOff(1, 'metric')).toBeNull();
    expect(judgeMatOff(1.1, 'metric')?.next).toContain('Pull the plug');
  });
  it('whose probe gives no reading any more is not told to heat', () => {
    for (const found of [at(Number.NaN, null, false), judgeMatOff(Number.NaN, 'metric')])
      expect(found?.says).toContain('gave no reading');
  });
});
