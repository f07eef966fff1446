/** What the guard finds of the supply behind the second switch. */
import { describe, expect, it } from 'vitest';
import { describeEntry } from '../../cli/journal/describe';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK } from './grower';
import { sownTray } from './scenes';

const SECONDS_MS = 10_000;

describe('the supply of mat and pump', () => {
  it('that is missing while the mat is asked for is told within seconds, and written down', () => {
    const grower = sownTray({}, EVERY_TICK);
    const { bench } = grower;
    expect(bench.runUntil(() => bench.state().outputs.mat, HOUR_MS)).toBe(true);
    bench.run(SECONDS_MS);
    expect(grower.alarms()).not.toContain('supply-wrong');
    bench.rig.wrongSupply.add('missing');
    bench.run(SECONDS_MS);
    expect(grower.alarms()).toContain('supply-wrong');
    const entry = grower.journal().find(({ kind }) => kind === 'alarm');
    if (entry === undefined) throw new Error('the alarm is not in the journal');
    expect(describeEntry(entry, 'metric')).toMatch(/dead, though asked for/);
    bench.rig.wrongSupply.delete('missing');
    bench.run(SECONDS_MS);
    const report = grower.status().alarms.find(({ alarm }) => alarm === 'supply-wrong');
    expect(report?.state).toBe('returned');
  });

  it('is told within seconds when both switches have welded, long before the root zone tells', () => {
    const grower = sownTray();
    const { bench } = grower;
    expect(bench.runUntil(() => !bench.state().outputs.mat, HOUR_MS)).toBe(true);
    bench.run(SECONDS_MS);
    expect(grower.alarms()).toEqual([]);
    bench.fault('mat-stuck-on');
    bench.run(SECONDS_MS);
    expect(grower.alarms()).toEqual(['supply-wrong']);
  });

  it('that does not go is told as well: the second switch has welded, and mat and pump work on', () => {
    const grower = sownTray({}, EVERY_TICK);
    const { bench } = grower;
    bench.rig.wrongSupply.add('second-switch-of-pump-welded');
    const idle = () => grower.alarms().includes('supply-wrong');
    expect(bench.runUntil(idle, HOUR_MS)).toBe(true);
    const report = grower.status().alarms.find(({ alarm }) => alarm === 'supply-wrong');
    expect(report).toMatchObject({ value: 1 });
    expect(grower.status().heat.heldBy).not.toBe('supply-wrong');
    bench.run(MINUTE_MS);
    expect(bench.state().pump.ranS).toBe(0);
  });
});
