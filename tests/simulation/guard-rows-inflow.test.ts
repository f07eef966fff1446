/** What the guard finds of water that runs without a dose: by itself, or through a pump that is stuck. */
import { describe, expect, it } from 'vitest';
import { describeEntry } from '../../cli/journal/describe';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { runToDose, sownTray, stateOfAlarm, wateredTray } from './scenes';

describe('water that runs in by itself', () => {
  /** The journal's sentence when the alarm was raised, and what had really run in by then. */
  const raised = (grower: Grower, limitMs: number) => {
    const before = grower.bench.state();
    const stands = () => grower.alarms().includes('weight-rising');
    expect(grower.bench.runUntil(stands, limitMs)).toBe(true);
    const alarm = grower.status().alarms.find((report) => report.alarm === 'weight-rising');
    const entry = grower
      .journal()
      .find((one) => one.kind === 'alarm' && one.alarm === 'weight-rising');
    if (entry === undefined) throw new Error('the alarm is not in the journal');
    return {
      gainedG: alarm?.value ?? Number.NaN,
      limitG: alarm?.limit ?? Number.NaN,
      ranInG: grower.bench.state().scale.loadG - before.scale.loadG,
      metric: describeEntry(entry, 'metric'),
      us: describeEntry(entry, 'us'),
    };
  };

  it('slowly, through the tube: told with the grams it has brought', () => {
    const grower = sownTray();
    grower.bench.fault('siphon');
    const { gainedG, limitG, ranInG, metric, us } = raised(grower, HOUR_MS);
    expect(gainedG).toBeGreaterThan(limitG);
    expect(Math.abs(gainedG - ranInG)).toBeLessThan(5);
    expect(metric).toMatch(/\(\d+(\.\d)? g against \d+(\.\d)? g\)/);
    expect(us).toMatch(/ oz against .* oz\)/);
  });

  it('faster than a weight can settle, and unlike the pump: told in the same measure', () => {
    const grower = sownTray();
    // A pump this much larger has another flow than what runs in.
    grower.call('pump.calibrate', { mlPerS: 10, cvPercent: 1 });
    grower.bench.fault('pump-stuck-on');
    const { gainedG, limitG, ranInG, metric, us } = raised(grower, 5 * MINUTE_MS);
    expect(limitG).toBe(36);
    expect(gainedG).toBeGreaterThan(limitG);
    expect(Math.abs(gainedG - ranInG)).toBeLessThan(20);
    expect(metric).toMatch(/\(\d+(\.\d)? g against \d+(\.\d)? g\)/);
    expect(us).toMatch(/ oz against .* oz\)/);
  });
});

describe('a tube that is primed again and again', () => {
  it('fills the tray a little each time, and that is no water which runs in by itself', () => {
    const grower = sownTray();
    grower.bench.hand.soak();
    grower.bench.run(3 * HOUR_MS);
    grower.bench.rig.plant.wool.heldG -= 120;
    grower.bench.run(HOUR_MS);
    for (const { alarm } of grower.status().alarms) grower.call('alarm.accept', { alarm });
    // Each is over between two looks of a minute.
    for (let i = 0; i < 6; i++) {
      grower.call('pump.run', { ms: 10_000, reason: 'prime' });
      grower.bench.run(20 * MINUTE_MS);
    }
    expect(stateOfAlarm(grower, 'weight-rising')).toBe('normal');
  });
});

describe('a pump that will not switch off', () => {
  it('is told from a hand within two minutes, sounds, and stays latched when the water stops', () => {
    const grower = sownTray();
    grower.bench.fault('pump-stuck-on');
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.alarms()).toContain('pump-stuck-on');
    expect(grower.status().water.heldBy).toBe('pump-stuck-on');
    let sounded = false;
    for (let s = 0; s < 10; s++) {
      grower.bench.run(1000);
      sounded ||= grower.bench.state().outputs.sounder;
    }
    expect(sounded).toBe(true);
    grower.bench.fault('pump-stuck-on', false);
    grower.bench.run(DAY_MS);
    expect(stateOfAlarm(grower, 'pump-stuck-on')).toBe('latched-unaccepted');
    expect(() => grower.call('pump.run', { ms: 1000, reason: 'prime' })).toThrow(/pump-stuck-on/);
    grower.call('alarm.clear', { alarm: 'pump-stuck-on' });
    expect(stateOfAlarm(grower, 'pump-stuck-on')).toBe('normal');
  });

  it('is found out in the middle of a dose as well', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.fault('pump-stuck-on');
    grower.bench.run(3 * MINUTE_MS);
    expect(grower.alarms()).toContain('pump-stuck-on');
  });

  it('by one welded switch runs neither while nothing is asked for nor while the mat heats', () => {
    const grower = sownTray();
    const { bench } = grower;
    bench.rig.welded.add('pump');
    expect(bench.runUntil(() => bench.state().outputs.mat, HOUR_MS)).toBe(true);
    bench.run(2 * MINUTE_MS);
    expect(bench.state().pump.deliveredMl).toBe(0);
  });

  it('leaves the mat to its work: its supply is another one', () => {
    const grower = sownTray();
    grower.bench.fault('pump-stuck-on');
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.alarms()).toContain('pump-stuck-on');
    expect(grower.status().heat.heldBy).toBeNull();
  });
});
