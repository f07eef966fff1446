/** What is put on a tray, or poured into it, while a flood runs off it is known from the flood. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, floodedTray, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly } from './told-truly';

describe('a tray that a welded pump has flooded', () => {
  it('and that is poured out and set down again is told truly, and taken off the scale it is away', () => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.hand.soak();
    // At once, and not when it has drained.
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    bench.run(50 * MINUTE_MS);
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

  it('and that is poured out when a part of it has run off is told truly at once', () => {
    const grower = floodedTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.run(3 * MINUTE_MS);
    expect(wool.channelG).toBeGreaterThan(100);
    bench.hand.soak();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });

  it('and on which hands were as the power went is told truly an hour after it came back: nothing is missing', () => {
    const grower = floodedTray();
    const { bench } = grower;
    for (const alarm of ['pump-stuck-on', 'weight-rising'] as const) {
      grower.call('alarm.clear', { alarm });
    }
    bench.hand.mist(60);
    bench.run(5_000);
    bench.fault('mains-cut', true, 12 * HOUR_MS);
    bench.run(13 * HOUR_MS + 30 * MINUTE_MS);
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

  it('and on which a weight is put while most of it still runs off is told truly, and so is the weight', () => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.hand.putWeight(553);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.cutPower();
    bench.restorePower();
    bench.run(MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });

  it.each([50, 300, 1_469])(
    'and from which a thing of %i g is taken while it runs off is told truly, and nothing stands on it',
    (g) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.hand.leaveInTray(g);
      bench.run(4 * HOUR_MS);
      bench.fault('pump-stuck-on', true, 40 * MINUTE_MS);
      bench.run(41.5 * MINUTE_MS);
      bench.hand.clearTray();
      // Before it has drained, and told its capacity.
      bench.run(25 * MINUTE_MS);
      expect(grower.status().water.heldBy).not.toBe('handling');
      expectToldTruly(grower);
      expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
    },
  );

  it('soaked as the pump still runs, and sprayed, is told truly: neither was a thing', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    bench.rig.plant.wool.heldG *= 0.87;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    bench.fault('pump-stuck-on', true, 53 * MINUTE_MS);
    bench.run(24 * MINUTE_MS);
    bench.hand.soak();
    bench.run(26 * MINUTE_MS);
    bench.hand.mist(111);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
  });

  it('in which a thing had been left just before is told truly as that is taken off with a weight put on later', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.hand.leaveInTray(494);
    bench.run(30_000);
    bench.fault('pump-stuck-on', true, 5 * MINUTE_MS);
    bench.run(HOUR_MS);
    bench.hand.putWeight(507);
    bench.run(7 * HOUR_MS);
    bench.hand.clearTray();
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
  });

  it.each([4, 9])('and that is held up for %i min as it runs off is told truly', (min) => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.hand.liftTray(min * MINUTE_MS);
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
  });
});

describe('a tray into which a siphon runs as fast as it runs off', () => {
  /** A moist tray three hours after that befell it: the siphon has run dry meanwhile. */
  function siphoned(befall: (grower: Grower) => void): Grower {
    const grower = wateredTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    wool.heldG = 0.96 * wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    befall(grower);
    bench.run(3 * HOUR_MS);
    return grower;
  }
  const sprayed = ({ bench }: Grower): void => {
    bench.fault('siphon', true, 2.5 * HOUR_MS);
    bench.run(10 * MINUTE_MS);
    bench.hand.mist(200);
  };
  const unweighed = ({ bench }: Grower): void => {
    bench.fault('scale-unplugged', true, 2 * HOUR_MS);
    bench.fault('siphon', true, 4 * HOUR_MS);
    bench.run(2 * HOUR_MS);
  };

  it.each([
    ['sprayed meanwhile', sprayed],
    ['found so when its scale is back', unweighed],
  ])('%s, has no thing on it once that has run off: dry-back is told truly', (_, befall) => {
    const grower = siphoned(befall);
    grower.bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
  });

  it('and that has a thing on it has it still when that has run off', () => {
    const grower = siphoned(({ bench }) => {
      bench.hand.putWeight(593);
      bench.run(20 * MINUTE_MS);
      bench.fault('siphon', true, 2 * HOUR_MS);
      bench.run(10 * MINUTE_MS);
    });
    grower.bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
  });
});

describe('a weight put on the tray while a flood runs off it', () => {
  it.each([
    [600, 4, 300],
    [900, 5, 550],
    [1_500, 8, 500],
  ])('leaves dry-back true as it is taken off: %i ml, %i min, %i g', (ml, minutes, g) => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.hand.mist(ml);
    bench.run(minutes * MINUTE_MS);
    bench.hand.putWeight(g);
    bench.run(3 * HOUR_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });
});

describe('a tray from which a cloth draws soon after it was soaked', () => {
  it('loses on as it did, with a weight on it: none of that has run off, and the weight is told', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.hand.soak();
    bench.run(40 * MINUTE_MS);
    bench.fault('wick', true, 2 * HOUR_MS);
    bench.run(50 * MINUTE_MS);
    bench.hand.putWeight(1_900);
    bench.run(65 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
  });
});
