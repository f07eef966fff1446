/** What a person reads and does with the program at a running tray: looks, marks, alarms, profiles. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { trayward } from './at-the-tray';
import { unwrapped } from './program';

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
