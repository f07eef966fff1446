/** What `status` and `alarm list` say of feed: what the stage wants, what is done about it, and when plants are fed. */
import { describe, expect, it } from 'vitest';
import { ADVICE } from '../../shared/alarms/advice';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { profileWith } from '../simulation/scenes';
import { unwrapped } from './program';
import { runIn, worldAt } from './worlds';

const said = async (grower: Grower, ...words: string[]): Promise<string> =>
  unwrapped((await runIn(worldAt(grower, {}), words)).stdout);

/** Sown; the stage after emergence opens with feed within two days. */
function sown(): Grower {
  const grower = new Grower();
  grower.commission(profileWith({ feed: { opening: { byS: 2 * 86_400, stopShare: 0.02 } } }));
  return grower;
}

describe('when the plants are fed', () => {
  it('is told from sowing on: so long after emergence, then in so long, then as what each had', async () => {
    const grower = sown();
    expect(await said(grower, 'status')).toContain(
      'no water in a hold stage; first feed 2 d after emergence at the latest',
    );
    await said(grower, 'mark', 'emerged');
    grower.bench.run(12 * HOUR_MS);
    expect(await said(grower, 'status')).toContain('first feed in 1 d 12 h at the latest');
    grower.bench.run(2 * DAY_MS);
    const fed = await said(grower, 'status');
    expect(fed).not.toContain('at the latest');
    expect(fed).toMatch(/Each plant had .* since emergence/);
  });

  it('is due while something holds it off, and that is said beside it', async () => {
    const grower = sown();
    await said(grower, 'mark', 'emerged');
    grower.bench.fault('scale-unplugged');
    grower.bench.run(2 * DAY_MS);
    expect(await said(grower, 'status')).toContain('alarm "Scale silent"; first feed due now');
  });

  it('is not told before sowing', async () => {
    const grower = new Grower();
    grower.load(TEST_PROFILE);
    expect(await said(grower, 'status')).not.toContain('first feed');
  });
});

describe('the feed that a stage wants', () => {
  it('stands beside what is in the reservoir, told or not', async () => {
    const grower = sown();
    await said(grower, 'mark', 'emerged');
    expect(await said(grower, 'status')).toMatch(
      /Reservoir not told `trayward mark refilled`; stage wants 0\.80 mS\/cm/,
    );
    await said(grower, 'mark', 'refilled', '--volume', '3l', '--ec', '0.8mS/cm');
    const status = await said(grower, 'status');
    expect(status).toContain('3.00 l of 0.80 mS/cm left stage wants 0.80 mS/cm ');
    expect(status).not.toContain('doses');
  });

  it('is waited for by the doses for a day, then they go on; both are said, in the alarm too', async () => {
    const grower = sown();
    await said(grower, 'mark', 'refilled', '--volume', '3l', '--ec', '2mS/cm');
    await said(grower, 'mark', 'emerged');
    grower.bench.run(4 * HOUR_MS);
    const waiting = 'doses wait for it, 20 h more at most';
    expect(await said(grower, 'status')).toContain(`stage wants 0.80 mS/cm: ${waiting}`);
    expect(await said(grower, 'alarm', 'list')).toContain(
      `measured 2.00 mS/cm against 0.80 mS/cm; ${waiting}`,
    );
    grower.bench.run(21 * HOUR_MS);
    const goingOn = 'doses go on with what there is';
    expect(await said(grower, 'status')).toContain(`stage wants 0.80 mS/cm: ${goingOn}`);
    expect(await said(grower, 'alarm', 'list')).toContain(goingOn);
  });

  it('is told with doubt once a dose has not come: it is an account, and the reservoir may be empty', async () => {
    const grower = new Grower({ room: { meanC: 20 } });
    grower.commission(profileWith());
    await said(grower, 'mark', 'refilled', '--volume', '3l', '--ec', '0.8mS/cm');
    await said(grower, 'mark', 'emerged');
    grower.bench.hand.setLid('off');
    grower.bench.fault('reservoir-empty');
    const isDoubted = async () => (await said(grower, 'status')).includes('look whether it is so');
    expect(await isDoubted()).toBe(false);
    grower.bench.run(2 * DAY_MS);
    expect(grower.alarms()).toContain('dose-not-seen');
    expect(await isDoubted()).toBe(true);
  });

  it('filled in by mistake in the middle of a stage is told at once, and waited for again', async () => {
    const grower = sown();
    await said(grower, 'mark', 'emerged');
    grower.bench.run(3 * DAY_MS);
    const right = await said(grower, 'mark', 'refilled', '--volume', '3l', '--ec', '0.8mS/cm');
    expect(right).not.toContain('stage wants');
    const wrong = await said(grower, 'mark', 'refilled', '--volume', '3l', '--ec', '2mS/cm');
    expect(wrong).toContain('The reservoir holds 3.00 l of 2.00 mS/cm; the stage wants');
    const waiting = 'doses wait for it, 1 d more at most';
    expect(wrong).toContain(waiting);
    grower.bench.run(4 * HOUR_MS);
    expect(await said(grower, 'status')).toContain('doses wait for it, 20 h more at most');
  });
});

describe('a lid left off in germination', () => {
  it('is told as so many times the usual drying with the lid closed, and since when', async () => {
    const grower = sown();
    grower.bench.run(20 * HOUR_MS);
    const offAt = new Date(grower.bench.unixMs);
    grower.bench.hand.setLid('off');
    grower.bench.run(HOUR_MS);
    const told = await said(grower, 'alarm', 'list');
    const [, times, at = ''] =
      /drying (\d+) times faster than usual with the lid closed, since (\d\d:\d\d);? /.exec(told) ??
      [];
    expect(Number(times)).toBeGreaterThan(20);
    const [hour = 0, minute = 0] = at.split(':').map(Number);
    const lateMin = hour * 60 + minute - (offAt.getHours() * 60 + offAt.getMinutes());
    expect(lateMin).toBeGreaterThanOrEqual(0);
    expect(lateMin).toBeLessThan(6);
  });
});

describe('dry-back under plants', () => {
  it('is told as the wool has it, and beside it what the scale alone says and what the plants weigh', async () => {
    const grower = new Grower({ room: { meanC: 20 } });
    grower.commission(profileWith({ profile: { crop: 'cucumber' } }));
    await said(grower, 'mark', 'emerged');
    grower.bench.hand.setLid('propped');
    grower.bench.run(2 * DAY_MS);
    const { dryBackShare, readDryBackShare, grownG } = grower.status().water;
    expect(grownG).toBeGreaterThan(5);
    expect(dryBackShare).toBeGreaterThan((readDryBackShare ?? 1) + 0.001);
    expect(await said(grower, 'status')).toMatch(
      /the scale alone says \d+\.\d %, the plants have gained perhaps [\d.]+ g, at most [\d.]+ g/,
    );
  });
});

describe('alarms', () => {
  it('stand most urgent first, in the status and in their list', async () => {
    const grower = sown();
    await said(grower, 'mark', 'refilled', '--volume', '100ml');
    grower.bench.run(20 * HOUR_MS);
    grower.bench.hand.setLid('off');
    grower.bench.run(HOUR_MS / 2);
    const titles = (['drying-fast', 'reservoir-low'] as const).map((name) => ADVICE[name].title);
    for (const words of [['status'], ['alarm', 'list']]) {
      const text = await said(grower, ...words);
      const places = titles.map((title) => text.indexOf(title));
      expect(places[0]).toBeGreaterThanOrEqual(0);
      expect(places[1]).toBeGreaterThan(places[0] ?? 0);
    }
  });
});
