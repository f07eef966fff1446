/** Put right means right again: when the cause is gone, heat and water return by themselves, or are asked for. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, EVERY_TICK, Grower, HOUR_MS, MINUTE_MS } from './grower';
import { changesOf, doses, profileWith, runToDose, stateOfAlarm, wateredTray } from './scenes';

/** Dry-back by what is really in the wool. */
function trueDryBack({ bench }: Grower): number {
  const { wool } = bench.rig.plant;
  return 1 - wool.heldG / wool.capacityG;
}

/** Told within so many points of the truth. */
const POINTS = 0.03;

function expectToldTruly(grower: Grower): void {
  expect(grower.status().water.dryBackShare).toBeGreaterThan(trueDryBack(grower) - POINTS);
  expect(grower.status().water.dryBackShare).toBeLessThan(trueDryBack(grower) + POINTS);
}

describe('a weight put on the tray and taken off again', () => {
  it.each([200, 1_000, 2_000])('of %i g leaves dry-back and watering as they were', (g) => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.hand.putWeight(g);
    bench.run(10 * MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });

  it('and left there is told within the hour, and watering goes on by what the wool really holds', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.hand.putWeight(1_500);
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(trueDryBack(grower)).toBeLessThan(0.06);
    bench.hand.takeWeight();
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('returned');
    expectToldTruly(grower);
  });
});

describe('a thing left in a moist tray', () => {
  it('that the wool could just hold is told once it has not run off, and water goes by what the wool holds', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(200);
    bench.run(10 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    expectToldTruly(grower);
  });
});

describe('a thing taken out of the tray in the moment that the tray is watered', () => {
  it('is known by the water that runs off: dry-back is told truly, nothing falls, and the next dose is seen', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(760);
    bench.run(2 * HOUR_MS);
    bench.hand.clearTray();
    bench.hand.mist(222);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'weight-falling')).toBe('normal');
    expect(stateOfAlarm(grower, 'drying-fast')).toBe('normal');
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(trueDryBack(grower)).toBeLessThan(0.06);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });
});

describe('a weight put beside a half dry tray', () => {
  it('shows as the tray is taken off and it stays: the bare mat is not heated', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    bench.rig.plant.wool.heldG *= 0.86;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.putWeight(600);
    bench.run(10 * MINUTE_MS);
    bench.hand.takeTray();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe('tray-off');
    bench.hand.putTray();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

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

describe('a tray away from its scale', () => {
  it('gets no heat, is told after an hour, and goes on by itself when it is back', () => {
    const grower = wateredTray({ feed: { band: { lowC: 27, highC: 28 } } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(2 * HOUR_MS);
    expect(grower.alarms()).toEqual(['tray-away']);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
    expect(stateOfAlarm(grower, 'tray-away')).toBe('returned');
    bench.run(2 * HOUR_MS);
    expect(grower.alarms()).toEqual(['tray-away']);
    expectToldTruly(grower);
  });

  it('soaked beside the scale for half an hour counts as watered', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(12 * HOUR_MS);
    bench.hand.takeTray();
    bench.run(30 * MINUTE_MS);
    bench.hand.soak();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
    expect(grower.alarms()).toEqual([]);
  });
});

describe('a tray that a welded pump has flooded', () => {
  /** In the middle of its running off. */
  function floodedTray(): Grower {
    const grower = wateredTray();
    const { bench } = grower;
    bench.fault('pump-stuck-on', true, 40 * MINUTE_MS);
    bench.run(41 * MINUTE_MS);
    expect(bench.rig.plant.wool.channelG).toBeGreaterThan(300);
    return grower;
  }

  it('and that is poured out and set down again is told truly, and taken off the scale it is away', () => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.hand.soak();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
    for (const alarm of ['pump-stuck-on', 'weight-rising'] as const) {
      grower.call('alarm.clear', { alarm });
    }
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe('tray-off');
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  });

  it('and on which a weight is put meanwhile is told truly, and so is the weight', () => {
    const grower = floodedTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    // What still runs off then is the flood's.
    expect(bench.runUntil(() => wool.heldG + wool.channelG < wool.capacityG + 90, HOUR_MS)).toBe(
      true,
    );
    bench.hand.putWeight(900);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
  });

  it.each([4, 9])('and that is held up for %i min as it runs off is told truly', (min) => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.hand.liftTray(min * MINUTE_MS);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
  });
});

describe('a tray that was watered by hand just before a start of the board', () => {
  it('still runs off, and gets no water before it stands', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.hand.mist(300);
    bench.run(8 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('handling');
    bench.cutPower();
    bench.restorePower();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('handling');
  });
});

describe('a tray that nobody can weigh for hours', () => {
  it('has dried in a power cut: that is no thing taken off, and it is watered', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('mains-cut', true, 15 * HOUR_MS);
    bench.run(15 * HOUR_MS + 10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.035);
    expectToldTruly(grower);
    runToDose(grower, DAY_MS);
  });

  it.each(['mains-cut', 'scale-unplugged'] as const)(
    'is told as dry as it is when a cloth drew most of its water out meanwhile: %s',
    (fault) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(2 * HOUR_MS);
      bench.fault('wick', true, 6 * HOUR_MS + MINUTE_MS);
      bench.run(MINUTE_MS);
      bench.fault(fault, true, 6 * HOUR_MS);
      bench.run(6 * HOUR_MS + 15 * MINUTE_MS);
      expect(trueDryBack(grower)).toBeGreaterThan(0.6);
      expectToldTruly(grower);
      bench.run(HOUR_MS);
      expect(stateOfAlarm(grower, 'too-dry')).toBe('unaccepted');
    },
  );

  it('has lost what a cloth drew out of it while the scale was unplugged', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('scale-unplugged', true, 7 * HOUR_MS);
    bench.run(4 * HOUR_MS);
    bench.fault('wick', true, HOUR_MS);
    bench.run(3 * HOUR_MS + 4 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.1);
    expectToldTruly(grower);
  });
});

describe('a tray with a slow leak', () => {
  it('that is touched is no tray in hand for ever, and the loss is no thing taken off', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.fault('leak', true, 3 * HOUR_MS);
    bench.hand.mist(20);
    bench.run(30 * MINUTE_MS);
    expect(grower.status().water.heldBy).not.toBe('handling');
    expectToldTruly(grower);
  });
});

describe('a leak slower than a fall of 40 g in ten minutes', () => {
  it.each([
    ['closed', 6],
    ['propped', 100],
    ['off-by-day', 130],
  ] as const)('is told within the hour where the lid should be %s: %i g/h', (lid, gPerH) => {
    const watering = { startShare: 0.5, stopShare: 0.4 };
    const grower = wateredTray({ feed: { lid }, watering }, EVERY_TICK);
    const { bench } = grower;
    bench.hand.setLid(lid);
    bench.run(4 * HOUR_MS);
    expect(changesOf(grower, 'drying-fast')).toEqual([]);
    bench.rig.faults.wrong.wickGPerS = gPerH / 3_600;
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'drying-fast')).toBe('unaccepted');
    expect(changesOf(grower, 'weight-falling')).toEqual([]);
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

describe('a tray of which nobody has said what it holds', () => {
  it('is warmed again when it comes back a little drier', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    grower.call('mark.set', { mark: 'dry', trayG: grower.status().water.dryG ?? 0 });
    expect(grower.status().water.capacityG).toBe(null);
    bench.hand.takeTray();
    bench.run(30 * MINUTE_MS);
    bench.rig.plant.wool.heldG *= 0.92;
    bench.hand.putTray();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
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
