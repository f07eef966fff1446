/** Put right means right again: when the cause is gone, heat and water return by themselves, or are asked for. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { doses, profileWith, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

describe('a moist tray that is taken off, with hands at the scale meanwhile', () => {
  it('is not dry for that: no water is given when it is back', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.runUntil(() => trueDryBack(grower) >= 0.033, 4 * DAY_MS);
    bench.hand.takeTray();
    for (let i = 0; i < 3; i++) {
      bench.run(100 * 1_000);
      bench.hand.putWeight(40);
      bench.run(20 * 1_000);
      bench.hand.takeWeight();
    }
    bench.hand.putTray();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
    expect(doses(grower)).toEqual([]);
  });
});

describe('a scale calibrated anew in the middle of a crop', () => {
  it.each([2_000, 5_000])('with %i g leaves dry-back and watering as they were', (g) => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(4 * HOUR_MS);
    grower.calibrateScale(g);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(grower.status().water.heldBy).toBe(null);
    runToDose(grower);
  });

  it('by a weight that was stated wrongly, and the old one restored, waters on', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(4 * HOUR_MS);
    const [first] = grower.call('scale.history', {}, false).calibrations;
    if (first === undefined) throw new Error('not calibrated');
    const { capacityG, dryG } = grower.status().water;
    // A weight of 2 kg that somebody typed as 1.8 kg.
    grower.call('scale.calibrate', { ...first, countsPerG: first.countsPerG / 0.9 });
    // The same tray, told in the new grams at once: nobody put anything on it or took anything off.
    expect(grower.status().water.capacityG).toBeCloseTo((capacityG ?? 0) * 0.9, 0);
    expect(grower.status().water.dryG).toBeCloseTo((dryG ?? 0) * 0.9, 0);
    bench.run(5 * MINUTE_MS);
    expectToldTruly(grower);
    grower.call('scale.restore', { index: 1 });
    bench.run(5 * MINUTE_MS);
    expectToldTruly(grower);
    runToDose(grower);
  });
});

describe('weights that nobody knows', () => {
  it('are asked for within half a day where the stage after the transplant is itself a hold', () => {
    const profile = profileWith({ feed: { opening: { byS: 86_400, stopShare: 0.02 } } });
    const [hold, feed] = profile.stages;
    if (hold === undefined || feed === undefined) throw new Error('the test profile has changed');
    const settle = { ...hold, name: 'settle', end: { afterS: 3 * 86_400, mark: null } };
    const grower = new Grower();
    grower.commission({
      ...profile,
      stages: [
        { ...hold, end: { afterS: 0, mark: 'transplanted' } },
        settle,
        { ...feed, name: 'blocks' },
      ],
    });
    grower.call('mark.set', { mark: 'transplanted' });
    grower.bench.hand.transplant();
    grower.bench.run(11 * HOUR_MS);
    expect(grower.status().stage?.name).toBe('settle');
    expect(stateOfAlarm(grower, 'calibration-missing')).toBe('normal');
    grower.bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'calibration-missing')).toBe('unaccepted');
  });

  it('are asked for within half a day, in a hold too: transplanted and not marked soaked', () => {
    const grower = wateredTray();
    const { bench } = grower;
    grower.call('mark.set', { mark: 'transplanted' });
    bench.hand.transplant();
    bench.run(DAY_MS);
    expect(stateOfAlarm(grower, 'calibration-missing')).toBe('unaccepted');
    grower.call('mark.set', { mark: 'soaked' });
    bench.run(5 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'calibration-missing')).toBe('returned');
  });
});

describe('a reservoir that has run dry under a dose', () => {
  /** So much is in it, and the board is told. */
  const fill = (grower: Grower, volumeMl: number): void => {
    grower.bench.hand.drainReservoir(0);
    grower.bench.hand.refill(volumeMl);
    grower.call('mark.set', { mark: 'refilled', volumeMl });
  };
  const untilNotSeen = (grower: Grower): void => {
    const isRaised = () => stateOfAlarm(grower, 'dose-not-seen') !== 'normal';
    for (let h = 0; h < 96 && !isRaised(); h += 1) grower.bench.run(HOUR_MS);
    expect(isRaised()).toBe(true);
  };

  it('is mended by filling it: water returns without another word', () => {
    const grower = wateredTray();
    fill(grower, 45);
    untilNotSeen(grower);
    fill(grower, 2_000);
    expect(stateOfAlarm(grower, 'dose-not-seen')).toBe('normal');
    runToDose(grower);
    grower.bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });

  it('is no explanation where it was not dry: then somebody has to look', () => {
    const grower = wateredTray();
    fill(grower, 2_000);
    grower.bench.fault('tube-off', true);
    untilNotSeen(grower);
    fill(grower, 2_000);
    expect(stateOfAlarm(grower, 'dose-not-seen')).toBe('latched-unaccepted');
  });

  it('counts in the caps, for the pump has run, and not as food of the plants', () => {
    const grower = wateredTray();
    fill(grower, 2_000);
    grower.bench.fault('tube-off', true);
    untilNotSeen(grower);
    const { dayMl, plantsMl, plantsSaltsMg, eachMl } = grower.status().water;
    expect(dayMl).toBeGreaterThan(30);
    expect([plantsMl, plantsSaltsMg, eachMl]).toEqual([0, 0, 0]);
  });
});

describe('a tube that is off as the stage opens with water', () => {
  it('has the plants get it all the same once the tube is on and somebody has looked', () => {
    const grower = wateredTray({ feed: { opening: { byS: 1_800, stopShare: 0.02 } } });
    const { bench } = grower;
    bench.fault('tube-off', true);
    bench.run(HOUR_MS);
    expect(doses(grower)).toMatchObject([{ reason: 'opening', verdict: 'not-seen' }]);
    bench.fault('tube-off', false);
    grower.call('alarm.clear', { alarm: 'dose-not-seen' });
    bench.run(HOUR_MS);
    expect(doses(grower)[1]).toMatchObject({ reason: 'opening', verdict: 'seen' });
  });
});

describe('a hand at the tray as the stage opens with water', () => {
  it('cuts the dose short, and the plants get it all the same once the hand is gone', () => {
    const grower = wateredTray({ feed: { opening: { byS: 0, stopShare: 0.02 } } });
    const { bench } = grower;
    expect(bench.runUntil(() => bench.state().outputs.pump, HOUR_MS)).toBe(true);
    bench.run(2_000);
    bench.hand.putWeight(300);
    bench.run(MINUTE_MS);
    bench.hand.takeWeight();
    const [interrupted] = doses(grower);
    expect(interrupted).toMatchObject({ reason: 'opening', verdict: 'handled' });
    // What the pump did not run is off the caps again.
    expect(grower.status().water.stageMl).toBeLessThan((interrupted?.plannedMl ?? 0) / 2);
    bench.run(HOUR_MS);
    expect(doses(grower)[1]).toMatchObject({ reason: 'opening', verdict: 'seen' });
  });
});
