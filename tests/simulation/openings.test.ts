/** The water a stage opens with: after emergence, at a change of feed, after a transplant, on a tray part filled. */
import { describe, expect, it } from 'vitest';
import type { Profile } from '../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { doses, profileWith, runToDose, sownTray, stateOfAlarm } from './scenes';

const AT_ONCE = { byS: 0, stopShare: 0.02 };

/** Emergence, feed until the transplant, a day without water, blocks with feed of another strength. */
function wholeCrop(): Profile {
  const profile = profileWith({ feed: { opening: AT_ONCE, feedEc: 0.8 } });
  const [hold, feed] = profile.stages;
  if (hold === undefined || feed === undefined) throw new Error('the test profile has changed');
  return {
    ...profile,
    stages: [
      hold,
      { ...feed, end: { afterS: 0, mark: 'transplanted' } },
      { ...hold, name: 'settle', end: { afterS: 86_400, mark: null } },
      { ...feed, name: 'blocks', feedEc: 1 },
      { ...feed, name: 'rooted', feedEc: 1.5 },
    ],
  };
}

/** By stage, what doses were for. */
const reasons = (grower: Grower): (readonly [number, string])[] =>
  doses(grower).map(({ stage, reason }) => [stage, reason] as const);

describe('the water a stage opens with', () => {
  it('comes after emergence, after the hold of a transplant, and at a change of feed', () => {
    const grower = new Grower();
    grower.commission(wholeCrop());
    const { bench } = grower;
    grower.call('mark.set', { mark: 'emerged' });
    bench.run(2 * HOUR_MS);
    expect(reasons(grower)).toEqual([[1, 'opening']]);
    grower.call('mark.set', { mark: 'transplanted' });
    bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    bench.run(22 * HOUR_MS);
    // The roots are left alone meanwhile.
    expect(reasons(grower)).toEqual([[1, 'opening']]);
    bench.run(4 * HOUR_MS);
    expect(reasons(grower)).toEqual([
      [1, 'opening'],
      [3, 'opening'],
    ]);
    grower.call('mark.set', { mark: 'refilled', volumeMl: 3_000, feedEc: 1.5 });
    grower.call('stage.next', {});
    bench.run(2 * HOUR_MS);
    expect(reasons(grower).at(-1)).toEqual([4, 'opening']);
  });

  it('is still to come where the power was cut in the middle of it, and only there', () => {
    const grower = new Grower();
    grower.commission(profileWith({ feed: { opening: AT_ONCE } }));
    const { bench } = grower;
    const cut = (): void => {
      bench.cutPower();
      bench.run(MINUTE_MS);
      bench.restorePower();
      bench.run(3_000);
      grower.connect();
    };
    grower.call('mark.set', { mark: 'emerged' });
    for (let i = 0; i < 2; i++) {
      runToDose(grower);
      bench.run(2_000);
      cut();
    }
    // Two that nobody could weigh call a person.
    grower.call('alarm.clear', { alarm: 'dose-not-seen' });
    bench.run(HOUR_MS);
    expect(doses(grower)).toMatchObject([
      { reason: 'opening', verdict: 'cut' },
      { reason: 'opening', verdict: 'cut' },
      { reason: 'opening', verdict: 'seen' },
    ]);
    // All count in the caps: nobody knows what the first ones gave.
    expect(grower.status().water.stageMl).toBeGreaterThan(115);
    bench.hand.setLid('off');
    runToDose(grower);
    cut();
    bench.run(HOUR_MS);
    expect(doses(grower)[3]).toMatchObject({ reason: 'dry-back', verdict: 'cut' });
    expect(doses(grower).filter(({ reason }) => reason === 'opening').length).toBe(3);
  });

  it('comes in the next stage too where the one before ended in the middle of its own', () => {
    const grower = new Grower();
    const profile = profileWith({ feed: { opening: AT_ONCE } });
    const [hold, feed] = profile.stages;
    if (hold === undefined || feed === undefined) throw new Error('the test profile has changed');
    grower.commission({ ...profile, stages: [hold, feed, { ...feed, name: 'sizing' }] });
    const { bench } = grower;
    bench.run(DAY_MS);
    grower.call('mark.set', { mark: 'emerged' });
    runToDose(grower);
    bench.run(5_000);
    grower.call('stage.next', {});
    bench.run(2 * HOUR_MS);
    expect(reasons(grower)).toEqual([
      [2, 'opening'],
      [2, 'opening'],
    ]);
  });

  it('has come with its first dose: one that fails later in its cycle brings back neither it nor its alarm', () => {
    const grower = new Grower();
    grower.commission(profileWith({ feed: { opening: { byS: 0, stopShare: 0.001 } } }));
    const { bench } = grower;
    bench.run(DAY_MS);
    bench.hand.setLid('off');
    bench.run(8 * HOUR_MS);
    grower.call('mark.set', { mark: 'emerged' });
    runToDose(grower);
    bench.run(MINUTE_MS);
    expect(bench.state().outputs.pump).toBe(false);
    bench.fault('tube-off');
    bench.run(HOUR_MS);
    expect(doses(grower)).toMatchObject([
      { reason: 'opening', verdict: 'seen' },
      { reason: 'opening', verdict: 'not-seen' },
    ]);
    bench.run(DAY_MS);
    expect(grower.alarms()).toContain('dose-not-seen');
    expect(grower.alarms()).not.toContain('feed-late');
  });
});

describe('the water a stage opens with on a tray that has dried', () => {
  /** Dried to 5 % with the lid off, and marked emerged: it opens up to 1 %, and would itself stop at 6 %. */
  function driedTray(maxDayMl = 400): Grower {
    const grower = sownTray({
      feed: { opening: { byS: 0, stopShare: 0.01 } },
      watering: { startShare: 0.2, stopShare: 0.06, maxDayMl },
    });
    const { bench } = grower;
    bench.hand.setLid('off');
    expect(bench.runUntil(() => bench.state().tray.dryBackShare > 0.05, DAY_MS)).toBe(true);
    grower.call('mark.set', { mark: 'emerged' });
    return grower;
  }

  it('is a whole dose first, and goes on up to the share it opens to', () => {
    const grower = driedTray();
    grower.bench.run(HOUR_MS);
    const given = doses(grower);
    expect(given[0]?.plannedMl).toBeCloseTo(40, 1);
    expect(new Set(given.map(({ reason }) => reason))).toEqual(new Set(['opening']));
    // Half a dose would be missing for another.
    expect(grower.bench.state().tray.dryBackShare).toBeLessThan(0.01 + 20 / 4_064 + 0.004);
  });

  it('is given up to the cap of a day and no further, however much is missing', () => {
    const grower = driedTray(100);
    grower.bench.run(4 * HOUR_MS);
    expect(doses(grower).map(({ reason }) => reason)).toEqual(['opening', 'opening']);
    expect(grower.bench.state().pump.deliveredMl).toBeLessThan(100);
    expect(stateOfAlarm(grower, 'day-cap-reached')).toBe('unaccepted');
  });

  it('is seen on the scale though the seedlings are counted in from the mark on: they are none of its gain', () => {
    const grower = driedTray();
    expect(grower.status().water.grownG).toBe(0);
    grower.bench.run(7 * MINUTE_MS);
    // Five of its 40 ml fill the tube.
    expect(doses(grower)).toMatchObject([{ reason: 'opening', verdict: 'seen' }]);
    expect(doses(grower)[0]?.gainedG).toBeGreaterThan(30);
    expect(grower.status().water.grownG).toBeGreaterThan(5);
  });
});

describe('the feed ahead', () => {
  it('is told from emergence on, counted down after it, and no more once it has come', () => {
    const grower = sownTray({ feed: { opening: { byS: 86_400, stopShare: 0.02 } } });
    const ahead = () => grower.status().water.feedAhead;
    expect(ahead()).toEqual({ from: 'emergence', inS: 86_400 });
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.run(18 * HOUR_MS);
    expect(ahead()).toEqual({ from: 'now', inS: 6 * 3_600 });
    grower.bench.run(7 * HOUR_MS);
    expect(ahead()).toBe(null);
  });
});

describe('feed of another strength, filled in by mistake in the middle of a stage', () => {
  it('is waited out for a day, and given then if nobody comes', () => {
    const grower = new Grower();
    grower.commission(profileWith());
    const { bench } = grower;
    grower.call('mark.set', { mark: 'emerged' });
    grower.call('mark.set', { mark: 'refilled', volumeMl: 3_000, feedEc: 0.8 });
    bench.hand.setLid('off');
    runToDose(grower);
    bench.run(HOUR_MS);
    grower.call('mark.set', { mark: 'refilled', volumeMl: 3_000, feedEc: 2.5 });
    bench.run(HOUR_MS);
    const before = doses(grower).length;
    bench.run(DAY_MS - 3 * HOUR_MS);
    expect(doses(grower).length).toBe(before);
    expect(grower.status().water.heldBy).toBe('feed-change');
    expect(grower.alarms()).toContain('feed-unlike');
    bench.run(DAY_MS);
    expect(doses(grower).length).toBeGreaterThan(before);
  });
});

describe('a tray that is only part filled', () => {
  it('is fed as a full one, and tells what each of its plants had', () => {
    const profile = profileWith({ feed: { opening: AT_ONCE }, watering: { doseMl: 20 } });
    const media = profile.media.map((medium) => ({ ...medium, pieces: 40 }));
    const [medium] = media;
    if (medium === undefined) throw new Error('the test profile has changed');
    const grower = new Grower({ medium, room: { meanC: 20 } });
    grower.commission({ ...profile, media });
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.run(2 * HOUR_MS);
    expect(doses(grower)).toMatchObject([{ reason: 'opening', verdict: 'seen' }]);
    const { plantsMl, eachMl } = grower.status().water;
    expect(plantsMl).toBeGreaterThan(15);
    expect(eachMl).toBeCloseTo(plantsMl / 40, 1);
    grower.bench.run(DAY_MS);
    expect(grower.alarms()).toEqual([]);
  });
});
