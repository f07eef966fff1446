/** What a grower reads and is asked by the program, with a tray on the bench behind it. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { runIn, type Said, worldAt } from '../cli/worlds';
import { Grower } from './grower';
import { sownTray } from './scenes';

const trayward = (grower: Grower, ...words: string[]): Promise<Said> =>
  runIn(worldAt(grower, {}), words);

/** Text that the terminal's width has wrapped, in one line. */
const inOneLine = (text: string): string => text.replace(/\s+/g, ' ');

describe('an alarm that has ended', () => {
  it('says that it is over, since when, and how it goes off the list', async () => {
    const grower = sownTray();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    const { bench } = grower;
    bench.fault('scale-unplugged', true, HOUR_MS / 2);
    bench.run(HOUR_MS / 2);
    const at = new Date(bench.unixMs);
    bench.run(3 * HOUR_MS);
    const { stdout } = await trayward(grower, 'alarm', 'list');
    const [, hour, minute] = /over since (\d\d):(\d\d)/.exec(inOneLine(stdout)) ?? [];
    const lateMin = Number(hour) * 60 + Number(minute) - (at.getHours() * 60 + at.getMinutes());
    expect(Math.abs(lateMin)).toBeLessThanOrEqual(2);
    expect(inOneLine(stdout)).toContain('say `trayward alarm seen`');
  });
});

describe('a pump calibration that scatters more than the one in use', () => {
  it('is refused, and the old one stays, unless it is meant', async () => {
    const grower = new Grower();
    grower.commission();
    const { bench } = grower;
    bench.hand.takeTray();
    bench.hand.putJug();
    bench.run(MINUTE_MS);
    await trayward(grower, 'pump', 'prime', '--yes');
    bench.run(MINUTE_MS);
    const { wrong } = bench.rig.faults;
    const { plant } = bench.rig;
    // Bubbles: each run of the pump brings a little less or a little more than the one before.
    let runs = 0;
    const run = plant.pump.run.bind(plant.pump);
    let wasOn = false;
    plant.pump.run = (onMs, ...rest) => {
      const on = onMs > 0;
      if (on && !wasOn) runs++;
      wasOn = on;
      wrong.flowShare = runs % 2 === 0 ? 0.95 : 1.05;
      return run(onMs, ...rest);
    };
    const inUse = () => grower.call('pump.state', {}, false).calibration;
    const before = inUse();
    const worse = await trayward(grower, 'pump', 'calibrate', '--yes');
    expect(worse.code).toBe(1);
    expect(inOneLine(worse.stderr)).toContain('The old one stays.');
    expect(inUse()).toEqual(before);
    const meant = await trayward(grower, 'pump', 'calibrate', '--yes', '--even-if-worse');
    expect(meant.code).toBe(0);
    expect(inUse()?.cvPercent).toBeGreaterThan(3);
  });
});
