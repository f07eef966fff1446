/** What the guard finds of the mat's fuse, lead and own switch, by the sense line. */
import { describe, expect, it } from 'vitest';
import { describeEntry } from '../../cli/journal/describe';
import type { FaultName } from '../../firmware/bench/faults';
import { TICK_MS } from '../../firmware/bench/pace';
import { MAT_LOOK } from '../../shared/board/map';
import { MAT_OPEN } from '../../shared/board/words';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK, type Grower } from './grower';
import { changesOf, sownTray, stateOfAlarm } from './scenes';

/** A look, and a second one, each with the tick that reads it. */
const SECONDS_MS = 5_000;
const WHILE_IT_HEATS_MS = MAT_LOOK.everyMs + SECONDS_MS;

const heats = ({ bench }: Grower, on: boolean): void => {
  expect(bench.runUntil(() => bench.state().outputs.mat === on, 3 * HOUR_MS)).toBe(true);
};
/** A tray whose mat has work the whole night. */
const coldTray = (): Grower => sownTray({}, { ...EVERY_TICK, room: { meanC: 12 } });

const CUT_OFF: readonly (readonly [FaultName, number, RegExp])[] = [
  ['mat-lead-open', MAT_OPEN.lead, /Mat cut off.*in its lead/],
  ['mat-fuse-blown', MAT_OPEN.fuse, /Mat cut off.*at its fuse/],
];

describe('a mat that is cut off', () => {
  it.each(CUT_OFF)('(%s) is told within seconds of being switched on', (fault, value, words) => {
    const grower = sownTray({}, EVERY_TICK);
    heats(grower, false);
    grower.bench.fault(fault);
    heats(grower, true);
    grower.bench.run(SECONDS_MS);
    const report = grower.status().alarms.find(({ alarm }) => alarm === 'mat-open');
    expect(report).toMatchObject({ state: 'unaccepted', value });
    const entry = grower.journal().find(({ kind }) => kind === 'alarm');
    if (entry === undefined) throw new Error('the alarm is not in the journal');
    expect(describeEntry(entry, 'metric')).toMatch(words);
  });

  it.each(CUT_OFF)('(%s) while it heats is told within seconds', (fault) => {
    const grower = coldTray();
    heats(grower, true);
    grower.bench.run(MINUTE_MS);
    grower.bench.fault(fault);
    expect(changesOf(grower, 'mat-open')).toEqual([]);
    grower.bench.run(WHILE_IT_HEATS_MS);
    expect(changesOf(grower, 'mat-open')).toEqual(['raised']);
  });

  it('is asked for on and on, and over soon after it is whole again', () => {
    const grower = coldTray();
    grower.bench.fault('mat-lead-open');
    grower.bench.run(HOUR_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
    expect(stateOfAlarm(grower, 'mat-open')).toBe('unaccepted');
    grower.bench.fault('mat-lead-open', false);
    grower.bench.run(WHILE_IT_HEATS_MS);
    expect(stateOfAlarm(grower, 'mat-open')).toBe('returned');
  });

  it('is not told a second time, as one without effect or too weak for its room', () => {
    const grower = sownTray();
    heats(grower, false);
    grower.bench.fault('mat-lead-open');
    grower.bench.run(24 * HOUR_MS);
    expect(changesOf(grower, 'too-cold')).toEqual(['raised']);
    expect(changesOf(grower, 'mat-open')).toEqual(['raised']);
    expect(changesOf(grower, 'mat-no-effect')).toEqual([]);
    expect(changesOf(grower, 'band-out-of-reach')).toEqual([]);
  });

  it('by nothing but a supply that is missing is told as that, and as nothing else', () => {
    const grower = coldTray();
    heats(grower, true);
    grower.bench.rig.wrongSupply.add('missing');
    grower.bench.run(2 * WHILE_IT_HEATS_MS);
    expect(changesOf(grower, 'supply-wrong')).toEqual(['raised']);
    expect(changesOf(grower, 'mat-open')).toEqual([]);
  });

  it('is not what a pump tells whose second switch has welded, though the line reads so', () => {
    const grower = sownTray({}, EVERY_TICK);
    const { bench } = grower;
    heats(grower, false);
    bench.rig.wrongSupply.add('second-switch-of-pump-welded');
    // With its own switch welded as well the mat would read as one that never closes.
    bench.rig.welded.add('mat');
    bench.run(SECONDS_MS);
    heats(grower, true);
    bench.run(2 * WHILE_IT_HEATS_MS);
    expect(changesOf(grower, 'supply-wrong')).toEqual(['raised']);
    expect(changesOf(grower, 'mat-open')).toEqual([]);
  });
});

describe("a mat's own switch that has welded", () => {
  // In one room or another the mat is let go between two looks: where one comes just then, that one tells it as well.
  it.each([17, 18, 19, 20])(
    'is told within seconds of the mat being let go, and held off; room %i C',
    (meanC) => {
      const inRoom = { ...EVERY_TICK, room: { meanC } };
      const alike = sownTray({}, inRoom);
      heats(alike, true);
      heats(alike, false);
      const grower = sownTray({}, inRoom);
      const { bench } = grower;
      bench.run(alike.bench.nowMs - bench.nowMs - TICK_MS / 2);
      expect(bench.state().outputs.mat).toBe(true);
      bench.fault('mat-switch-welded');
      heats(grower, false);
      bench.run(SECONDS_MS);
      expect(grower.alarms()).toEqual(['mat-stuck-on']);
      expect(grower.status().heat.heldBy).toBe('mat-stuck-on');
    },
  );

  it('is told within seconds of the mat being asked for', () => {
    const grower = sownTray({}, EVERY_TICK);
    heats(grower, false);
    grower.bench.fault('mat-switch-welded');
    heats(grower, true);
    grower.bench.run(SECONDS_MS);
    expect(grower.alarms()).toEqual(['mat-stuck-on']);
  });

  it('heats nothing while neither mat nor pump is asked for: the second one is open', () => {
    const grower = sownTray({}, EVERY_TICK);
    heats(grower, false);
    grower.bench.fault('mat-switch-welded');
    const { rig } = grower.bench;
    const before = rig.plant.thermal.matC - rig.plant.thermal.rootZoneC;
    grower.bench.run(10 * MINUTE_MS);
    expect(rig.plant.thermal.matC - rig.plant.thermal.rootZoneC).toBeLessThan(before + 0.2);
  });
});

describe('a mat that is sound', () => {
  it('raises nothing in days of heating, at a tick a second and at one in twenty', () => {
    for (const options of [EVERY_TICK, {}]) {
      const grower = sownTray({}, options);
      grower.bench.run(24 * HOUR_MS);
      for (const alarm of ['mat-open', 'mat-stuck-on'] as const)
        expect(changesOf(grower, alarm)).toEqual([]);
    }
  });
});
