/** Scale, pump and probes put right with the program, by a person at the tray or by a script. */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Grower } from '../simulation/grower';
import { trayward, traywardAtTheTray } from './at-the-tray';
import { unwrapped } from './program';

describe('calibrating with the laptop tool', () => {
  it('calibrates the scale with a known weight, then the pump on the scale', async () => {
    const grower = new Grower();
    const { hand } = grower.bench;
    hand.takeTray();
    grower.bench.run(60_000);
    const weigh = {
      'Put the known weight': () => hand.putWeight(5000),
      'Take the weight off': () => hand.takeWeight(),
    };
    const flags = ['--weight', '5kg', '--cell', '10kg', '--tray', '4.4kg'];
    const done = await traywardAtTheTray(grower, weigh, 'scale', 'calibrate', ...flags);
    expect(done.stderr).not.toContain('Not done');
    expect(done.code).toBe(0);
    hand.putWeight(2000);
    grower.bench.run(60_000);
    const check = JSON.parse((await trayward(grower, '--json', 'scale', 'check')).stdout);
    expect(check.result.trayG).toBeGreaterThan(1998);
    expect(check.result.trayG).toBeLessThan(2002);

    hand.takeWeight();
    hand.putJug();
    grower.bench.run(60_000);
    expect((await trayward(grower, 'pump', 'prime', '--yes')).code).toBe(0);
    grower.bench.run(60_000);
    const pump = await trayward(grower, '--json', 'pump', 'calibrate', '--yes');
    expect(pump.code).toBe(0);
    const real = grower.bench.rig.plant.parameters.pump.mlPerS;
    const told = JSON.parse(pump.stdout).result.mlPerS;
    expect(Math.abs(told / real - 1)).toBeLessThan(0.05);
  });

  it('refuses a pump calibration worse than the one in use from a script too, unless that is meant', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.hand.takeTray();
    grower.bench.hand.putJug();
    grower.bench.run(60_000);
    expect((await trayward(grower, 'pump', 'prime', '--yes')).code).toBe(0);
    grower.bench.run(60_000);
    // What is in use was taken with another tube: it gave a third more.
    const { mlPerS } = grower.bench.rig.plant.parameters.pump;
    grower.call('pump.calibrate', { mlPerS: mlPerS * 1.33, cvPercent: 1 });
    const inUse = () => grower.call('pump.state', {}, false).calibration?.mlPerS ?? 0;
    const before = inUse();
    const worse = await trayward(grower, 'pump', 'calibrate', '--yes');
    expect(worse.code).toBe(1);
    expect(unwrapped(worse.stderr)).toContain('against the last calibration');
    expect(worse.stderr).toContain('--even-if-worse');
    expect(inUse()).toBe(before);
    const meant = await trayward(grower, 'pump', 'calibrate', '--yes', '--even-if-worse');
    expect(meant.code).toBe(0);
    expect(inUse() / mlPerS).toBeCloseTo(1, 1);
  });

  it('stops a pump calibration after the first run that brings no water, and says what to look at', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('reservoir-empty');
    const { pump } = grower.bench.rig.plant;
    const beforeMs = pump.ranMs;
    const dry = await trayward(grower, 'pump', 'calibrate', '--yes', '--run', '20s');
    expect(dry.code).toBe(1);
    expect(dry.stderr).toMatch(/scale gained nothing.*The old pump calibration\s+stays/s);
    expect(dry.stderr).toMatch(/reservoir/);
    expect(pump.ranMs - beforeMs).toBeCloseTo(20_000, -2);
    expect(grower.call('pump.state', {}, false).calibration).not.toBeNull();
  });

  it('does not run the pump at all when the scale cannot weigh what it gives', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('scale-unplugged');
    grower.bench.run(60_000);
    const { pump } = grower.bench.rig.plant;
    const beforeMs = pump.ranMs;
    const blind = await trayward(grower, 'pump', 'calibrate', '--yes');
    expect(blind.code).toBe(1);
    expect(blind.stderr).toContain('The scale does not answer');
    expect(pump.ranMs).toBe(beforeMs);
  });

  it('keeps the new zero of the scale, and tells it in the journal as what it is', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.hand.takeTray();
    grower.bench.run(60_000);
    const before = grower.call('scale.history', {}, false).calibrations[0]?.zeroCode;
    expect((await trayward(grower, 'scale', 'zero')).code).toBe(0);
    const now = grower.call('scale.history', {}, false).calibrations[0]?.zeroCode;
    expect(now).not.toBe(before);
    const store = ['--store', mkdtempSync(join(tmpdir(), 'trayward-'))];
    await trayward(grower, 'journal', 'pull', ...store);
    const told = await trayward(grower, 'journal', 'show', '--kind', 'calibration', ...store);
    expect(told.stdout.trimEnd()).toMatch(
      new RegExp(`Zero of the scale: code ${Math.round(now ?? Number.NaN)}\\.$`),
    );
  });

  it('refuses a weight too small for the tray, and says which would do', async () => {
    const grower = new Grower();
    const flags = ['--weight', '200g', '--cell', '10kg', '--tray', '4.4kg'];
    const refusedRun = await trayward(grower, 'scale', 'calibrate', ...flags);
    expect(refusedRun.code).toBe(1);
    expect(refusedRun.stderr).toContain('would do');
    expect(grower.call('scale.history', {}, false).calibrations).toEqual([]);
  });

  it('corrects a probe in melting ice only when it is really there', async () => {
    const grower = new Grower();
    grower.bench.run(60_000);
    const wrong = await trayward(grower, 'probe', 'calibrate', '--ice');
    expect(wrong.code).toBe(1);
    const { rootZoneC } = grower.call('probe.read', {}, false);
    const right = await trayward(
      grower,
      'probe',
      'calibrate',
      '--reads',
      `${((rootZoneC ?? 0) + 0.3).toFixed(2)}C`,
    );
    expect(right.code).toBe(0);
    expect(grower.call('probe.read', {}, false).calibration?.offsetK).toBeCloseTo(0.3, 1);
  });

  it('tells the controller which NTC a probe is, and what one B leaves open', async () => {
    const grower = new Grower();
    grower.bench.run(60_000);
    const curve = (...flags: string[]) => trayward(grower, 'probe', 'curve', ...flags, '--yes');
    const shown = unwrapped((await curve()).stdout);
    expect(shown).toContain('Root zone the reference probe: 10 kΩ at 25 °C, B25/85 3977 K');
    expect(shown).toMatch(/a meter reads 32\.\d+ kΩ at 0 °C, 10 kΩ at 25 °C, 3\.\d+ kΩ at 50 °C/);
    const told = await curve('--r25', '10k', '--b', '3435');
    expect(unwrapped(told.stdout)).toMatch(
      /root-zone probe is read as an NTC of 10 kΩ at 25 °C, B25\/85 3435 K .* calibration .* forgotten.* its B25\/85 alone, would read up to 0.4\d K off/,
    );
    grower.bench.run(5_000);
    const byRows = await curve('--mat', '--points', '0C=27.28k, 25C=10kohm, 122F=4160 ohm');
    expect(unwrapped(byRows.stdout)).toMatch(
      /mat probe is read as an NTC of 10 kΩ at 25 °C, B25\/85 34\d\d K/,
    );
    grower.bench.run(5_000);
    expect(unwrapped((await trayward(grower, 'probe', 'check')).stdout)).toMatch(
      /not calibrated, by an NTC of 10 kΩ at 25 °C, B25\/85 3435 K/,
    );
    expect(unwrapped((await curve('--r25', '10k', '--b', '3435')).stdout)).toContain('already');
    const back = await curve('--mat', '--reference');
    expect(unwrapped(back.stdout)).toContain('is read as the reference probe from now on');
    grower.bench.run(5_000);
    expect(grower.call('probe.read', {}, false)).toMatchObject({ matCurve: 'reference' });
  });

  it('shows what a probe would read as another NTC before it tells the controller, and asks', async () => {
    const grower = new Grower();
    grower.bench.run(60_000);
    const told = await trayward(grower, 'probe', 'curve', '--r25', '10k', '--b', '3435');
    expect(told.code).toBe(2);
    expect(unwrapped(told.stderr)).toMatch(
      /root-zone probe reads 2\d\.\d °C now, and as an NTC of 10 kΩ at 25 °C, B25\/85 3435 K it would read 2\d\.\d °C; the mat probe reads 2\d\.\d °C\. The limiter of 40\.0 °C moves with it: .*only the thermal link .*--yes/,
    );
    expect(grower.call('probe.read', {}, false).rootZoneCurve).toBe('reference');
    const isSo = await trayward(grower, 'probe', 'curve', '--mat', '--reference');
    expect(unwrapped(isSo.stdout)).toContain('already');
    const flags = ['--r25', '2.2k', '--b', '3977', '--yes'];
    const wrong = await trayward(grower, 'probe', 'curve', ...flags);
    expect(wrong.code).toBe(1);
    expect(unwrapped(wrong.stderr)).toContain('the other probe reads');
  });

  it.each([
    [['--r25', '1k', '--b', '3977'], 1, 'steps of 0.16 K at 45.0 °C'],
    [['--r25', '10k', '--b', '6500'], 1, 'B25/85 of 6500 K'],
    [['--points', '0C=33620.6ohm, 25C=10k, 50C=3588.2ohm'], 1, 'B formula'],
    [['--points', '0C=1k, 25C=1.097k, 50C=1.194k'], 1, 'must fall'],
    [['--points', '0C=27.28k, 25C=10k'], 2, 'Three points'],
    [['--points', '0C, 25C=10k, 50C=4k'], 2, 'no temperature with its resistance'],
    [['--r25', '10k'], 2, 'together'],
    [['--r25', '10000', '--b', '3435'], 2, 'no unit'],
    [['--r25', '10k', '--b', '3435', '--reference'], 2, 'in one way'],
    [['--r25', '10k', '--b', '3435', '--b-between', '85/25'], 2, 'no two temperatures'],
  ])('refuses the NTC of %j, and changes nothing', async (flags, code, words) => {
    const grower = new Grower();
    const run = await trayward(grower, 'probe', 'curve', ...flags);
    expect(run.code).toBe(code);
    expect(unwrapped(run.stderr)).toContain(words);
    grower.bench.run(5_000);
    expect(grower.call('controller.hello', {}, false).boot).toBe(1);
  });
});
