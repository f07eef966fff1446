import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { unwrapped } from './program';
import { runIn, worldAt } from './worlds';

/** Runs the program against a tray on the bench; returns its exit code and what it printed. */
async function trayward(grower: Grower, ...argv: string[]) {
  return traywardAtTheTray(grower, {}, ...argv);
}

/** The same, with a person who does what the program asks: words it says, and what they then do. */
async function traywardAtTheTray(
  grower: Grower,
  deeds: Readonly<Record<string, () => void>>,
  ...argv: string[]
) {
  return runIn(worldAt(grower, {}), argv, (text) => {
    for (const [words, deed] of Object.entries(deeds)) if (text.includes(words)) deed();
  });
}

describe('the laptop tool on a running tray', () => {
  it('tells how the tray stands, in metric and in US units', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    const metric = await trayward(grower, 'status');
    expect(metric.code).toBe(0);
    expect(metric.stdout).toContain('germinate');
    expect((await trayward(grower, '--units', 'us', 'status')).stdout).toMatch(/°?F\b/);
    const json = JSON.parse((await trayward(grower, '--json', 'status')).stdout);
    expect(json.ok).toBe(true);
    expect(json.result.stage.name).toBe('germinate');
  });

  it('tells of a board fresh from its box what is still to be done', async () => {
    const { stdout } = await trayward(new Grower(), 'status');
    expect(stdout).toMatch(/^Profile {2,}none loaded yet\nStage {2,}not sown yet\n/);
  });

  it('takes "seen" for all that stand, and tells of one that is over since when', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('scale-unplugged');
    grower.bench.run(60_000);
    const seen = async () => (await trayward(grower, 'alarm', 'seen')).stdout;
    grower.bench.fault('scale-unplugged', false);
    grower.bench.run(60_000);
    expect(await seen()).toMatch(/^Scale silent: over since \d\d:\d\d; no longer listed\.$/m);
    expect(await seen()).toBe('No alarm.\n');
    grower.bench.fault('scale-unplugged');
    grower.bench.run(60_000);
    expect(await seen()).toMatch(/^Scale silent: seen, since \d\d:\d\d; water held off\.$/m);
    expect(await seen()).toBe('No alarm is new.\n');
  });

  it('takes no "seen" for an alarm that is not there, nor then for the others named', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('probe-open');
    grower.bench.run(60_000);
    const both = await trayward(grower, 'alarm', 'seen', 'probe-open', 'too-dry');
    expect(both.code).toBe(1);
    expect(both.stderr).toContain('There is no alarm too-dry now.');
    expect(grower.status().alarms).toMatchObject([{ alarm: 'probe-open', state: 'unaccepted' }]);
  });

  it('takes no reservoir that overflows its drip tray and no feed that burns, and says why', async () => {
    const grower = new Grower();
    grower.bench.run(60_000);
    const refill = (...more: string[]) => trayward(grower, 'mark', 'refilled', ...more);
    expect((await refill('--ec', '9mS/cm')).stderr).toContain('stronger than any crop');
    const slip = await refill('--volume', '4l', '--ec', '0.9uS/cm');
    expect(slip.stderr.replace(/\s+/g, ' ')).toContain('Did you mean 0.9 mS/cm');
    expect(grower.status().water.reservoirEc).toBe(null);
    expect((await refill('--volume', '40l')).stderr).toContain('the drip tray must catch it');
    expect((await refill('--volume', '4l', '--ec', '0.8mS/cm')).stdout).toContain(
      'Marked refilled',
    );
    expect(grower.status().water).toMatchObject({ reservoirLeftMl: 4_000, reservoirEc: 0.8 });
  });

  it('tells which stage a mark begins, and what a sown tray lacks for its doses', async () => {
    const grower = new Grower();
    grower.bench.run(60_000);
    grower.load(TEST_PROFILE);
    const bare = await trayward(grower, 'mark', 'sown');
    expect(bare.code).toBe(0);
    expect(unwrapped(bare.stdout)).toContain('Stage 1, germinate, has begun: lid closed.');
    expect(unwrapped(bare.stdout)).toContain(
      'No water can be given yet: calibrate the scale, and mark the tray soaked',
    );
    grower.commission();
    const { stdout } = await trayward(grower, 'mark', 'emerged');
    expect(unwrapped(stdout)).toContain('Stage 2, first feed, has begun: lid propped.');
    expect(stdout).not.toContain('No water');
  });

  it('marks what the grower did, and refuses what makes no sense with the right exit code', async () => {
    const grower = new Grower();
    expect((await trayward(grower, 'mark', 'emerged')).code).toBe(1);
    expect((await trayward(grower, 'mark', 'watered')).code).toBe(2);
    grower.commission();
    expect((await trayward(grower, 'mark', 'emerged')).code).toBe(0);
    expect(grower.status().stage?.name).toBe('first feed');
  });

  it('lists an alarm with advice, and takes it back as mended only when its cause has gone', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('probe-open');
    grower.bench.run(10_000);
    expect((await trayward(grower, 'alarm', 'list')).stdout).toContain('probe-open');
    expect(grower.alarms()).toEqual(['probe-open']);
    const early = await trayward(grower, 'alarm', 'mended', 'probe-open');
    expect(early.code).toBe(1);
    const said = unwrapped(early.stderr);
    expect(said).toContain('The cause of "Root-zone probe open" is still there');
    // What was measured of a broken wire is a raw code: nothing for people.
    expect(said).not.toContain('code');
    expect(said).toContain('keeps heat off meanwhile. It counts as seen.');
    expect(said).toContain('Put right just now? In a minute: `trayward alarm mended probe-open`.');
    expect(said).toContain('- Check the plug and the cable');
    expect(said).toContain('`trayward alarm mended probe-open`');
    expect(grower.status().alarms).toMatchObject([{ alarm: 'probe-open', state: 'accepted' }]);
    grower.bench.fault('probe-open', false);
    grower.bench.run(70_000);
    const gone = await trayward(grower, 'status');
    expect(unwrapped(gone.stdout)).toMatch(
      /cause gone since \d\d:\d\d; heat held off until `trayward alarm mended probe-open`/,
    );
    const mended = await trayward(grower, 'alarm', 'mended', 'probe-open');
    expect(mended.code).toBe(0);
    expect(mended.stdout).toContain('mended. It no longer holds heat off.');
    expect(grower.alarms()).not.toContain('probe-open');
  });

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

  it('tells of a shelved alarm in the status too, and for how long: what it holds off stays off', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('probe-open');
    grower.bench.run(60_000);
    expect((await trayward(grower, 'status')).stdout).not.toContain('shelved');
    await trayward(grower, 'alarm', 'shelve', 'probe-open', '--for', '2h');
    const { stdout } = await trayward(grower, 'status');
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /new, since \d\d:\d\d; heat held off; shelved for 2 h more/,
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

  it('checks, loads, reads back and compares a profile while a stage is running', async () => {
    const grower = new Grower();
    const pepper = 'shared/crops/pepper.yaml';
    const alone = ['profile', 'check', pepper, '--no-rehearsal'];
    expect((await trayward(grower, ...alone)).code).toBe(0);
    // How it will go is asked for in the grower's own units.
    const us = await trayward(grower, '--units', 'us', ...alone);
    expect(unwrapped(us.stdout)).toContain(`trayward rehearse ${pepper} --room "61..68 F"`);
    expect((await trayward(grower, 'profile', 'read')).code).toBe(1);
    const loaded = await trayward(grower, 'profile', 'load', pepper);
    expect(loaded.code).toBe(0);
    expect(unwrapped(loaded.stdout)).toContain(`trayward rehearse ${pepper} --room "16..20 C"`);
    grower.commission();
    const elsewhere = await trayward(
      grower,
      'profile',
      'load',
      pepper,
      '--stage',
      'nowhere',
      '--yes',
    );
    expect(elsewhere.code).toBe(1);
    expect(elsewhere.stderr).toContain('--stage start');
    expect((await trayward(grower, 'profile', 'load', pepper, '--yes')).code).toBe(0);
    expect(grower.status().stage?.name).toBe('germinate');
    expect((await trayward(grower, 'profile', 'compare', pepper)).stdout).toContain('the same');
    const other = await trayward(grower, 'profile', 'compare', 'shared/crops/lettuce.yaml');
    expect(other.stdout).toContain('germinate');
    expect((await trayward(grower, 'profile', 'check', 'nowhere.yaml')).code).toBe(2);
  });
});
