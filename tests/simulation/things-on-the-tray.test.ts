/** What is put on a tray, or taken off it, is known from its water. */
import { describe, expect, it } from 'vitest';
import type { BenchOptions } from '../../firmware/bench/bench';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

/** A watered tray that has dried beside its scale, and is back on it. */
function halfDryTray(options: Partial<BenchOptions> = {}): Grower {
  const grower = wateredTray({}, options);
  const { bench } = grower;
  const { wool } = bench.rig.plant;
  bench.run(HOUR_MS);
  bench.hand.takeTray();
  bench.run(10 * MINUTE_MS);
  wool.heldG -= 0.14 * wool.capacityG;
  bench.hand.putTray();
  bench.run(10 * MINUTE_MS);
  return grower;
}

const LATE = { watering: { startShare: 0.08, stopShare: 0.02 } };

/** A weight is taken off in the moment in which the dried tray is watered, and none of the water runs off. */
function waterAsWeightGoes(grower: Grower, stayMs = 10 * MINUTE_MS): void {
  const { bench } = grower;
  const { wool } = bench.rig.plant;
  bench.hand.putWeight(970);
  bench.run(10 * MINUTE_MS);
  bench.hand.takeTray();
  bench.run(10 * MINUTE_MS);
  wool.heldG -= 0.07 * wool.capacityG;
  bench.hand.putTray();
  bench.run(stayMs);
  bench.hand.takeWeight();
  bench.hand.mist(280);
  bench.run(stayMs);
  expect(trueDryBack(grower)).toBeLessThan(0.02);
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

  it('that fills a half dry tray a little above what it holds is told as well, and dryness is not hidden by it', () => {
    const grower = halfDryTray();
    const { bench } = grower;
    const { capacityG } = bench.rig.plant.wool;
    const dryBack = trueDryBack(grower);
    expect(dryBack).toBeGreaterThan(0.13);
    bench.hand.putWeight((dryBack + 0.04) * capacityG);
    bench.run(10 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    expectToldTruly(grower);
  });

  it('is told as well where the power goes meanwhile, for nobody knows how long', () => {
    const grower = halfDryTray();
    const { bench } = grower;
    bench.hand.putWeight((trueDryBack(grower) + 0.04) * bench.rig.plant.wool.capacityG);
    bench.run(40 * MINUTE_MS);
    bench.cutPower();
    bench.run(5 * MINUTE_MS);
    bench.restorePower();
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    expectToldTruly(grower);
  });

  it.each([0, 5])(
    'is none where that much is water: a half dry tray that is soaked by hand, with the power out for %i min just after it',
    (outMin) => {
      const grower = halfDryTray();
      const { bench } = grower;
      bench.hand.mist((trueDryBack(grower) + 0.04) * bench.rig.plant.wool.capacityG);
      if (outMin > 0) {
        bench.run(4 * MINUTE_MS);
        bench.cutPower();
        bench.run(outMin * MINUTE_MS);
        bench.restorePower();
      }
      bench.run(3 * HOUR_MS);
      expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
      expectToldTruly(grower);
    },
  );
});

describe('a weight left in a full tray that is sprayed by the same hand', () => {
  it.each([
    [947, 243],
    [350, 300],
  ])('of %i g is told once the %i g of water have run off, and hides no dryness', (g, waterG) => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(g);
    bench.run(MINUTE_MS);
    bench.hand.mist(waterG);
    bench.run(3 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    expectToldTruly(grower);
    bench.fault('wick', true, HOUR_MS);
    bench.run(HOUR_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.05);
    expectToldTruly(grower);
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
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

describe('a weight taken off in the moment that the tray is watered, and none of that runs off', () => {
  it('shows as a dose runs off the full tray: the pump is not held, and dry-back is told truly', () => {
    const grower = wateredTray(LATE);
    waterAsWeightGoes(grower);
    // It seems as dry as it was: that is what a scale can say.
    runToDose(grower);
    grower.bench.run(4 * HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('unproved');
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'dose-not-seen')).toBe('normal');
    expect(grower.status().water.heldBy).toBe(null);
  });

  it('shows as well where a hand shakes the tray while that drains, and leaves nothing', () => {
    const grower = wateredTray(LATE);
    const { bench } = grower;
    waterAsWeightGoes(grower);
    runToDose(grower);
    bench.run(30 * MINUTE_MS);
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('unproved');
    expectToldTruly(grower);
  });
});

describe('a start just after a dose has run off a tray that seemed dry for what is taken for a thing', () => {
  it('waits for it to drain all the same: no second dose runs off, and the pump is not held', () => {
    const grower = wateredTray({ watering: { startShare: 0.05, stopShare: 0.02 } });
    const { bench } = grower;
    waterAsWeightGoes(grower, 3 * MINUTE_MS);
    const isDoubt = () => doses(grower).at(-1)?.verdict === 'unproved';
    for (let i = 0; i < 90 && !isDoubt(); i++) bench.run(MINUTE_MS);
    expect(isDoubt()).toBe(true);
    bench.run(5 * MINUTE_MS);
    bench.reset('watchdog');
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'dose-not-seen')).toBe('normal');
    expectToldTruly(grower);
  });
});

describe('a weight put beside a half dry tray', () => {
  it('leaves it as wet as it is, when it is watered by hand as the power goes, and the weight then taken off', () => {
    const grower = halfDryTray();
    const { bench } = grower;
    bench.hand.putWeight(600);
    bench.run(10 * MINUTE_MS);
    bench.hand.mist(500);
    bench.run(3 * MINUTE_MS);
    bench.fault('mains-cut', true, HOUR_MS);
    bench.run(2 * HOUR_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });

  it('shows as the tray is taken off and it stays: the bare mat is not heated', () => {
    const grower = halfDryTray({ room: { meanC: 17 } });
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.cutPower();
    wool.heldG = 0.5 * wool.capacityG;
    bench.restorePower();
    bench.run(10 * MINUTE_MS);
    bench.hand.putWeight(1_750);
    bench.run(10 * MINUTE_MS);
    bench.hand.takeTray();
    // At once, and not when hands are over: the mat may be on.
    bench.run(MINUTE_MS / 2);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe('tray-off');
    bench.hand.putTray();
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

describe('two weights on a tray that lacks as much water', () => {
  it('taken off together after it was sprayed leave it as dry as it is, and it is watered', () => {
    const grower = halfDryTray();
    const { bench } = grower;
    bench.hand.putWeight(450);
    bench.run(10 * MINUTE_MS);
    bench.hand.leaveInTray(150);
    bench.run(10 * MINUTE_MS);
    bench.hand.mist(60);
    bench.run(10 * MINUTE_MS);
    bench.hand.takeWeight();
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    runToDose(grower, 3 * HOUR_MS);
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });
});

describe('a weight put on a tray from which a cloth draws', () => {
  it.each([280, 500])(
    'is no water, though with it the tray stands %i g above its capacity',
    (aboveG) => {
      const grower = wateredTray();
      const { bench } = grower;
      const { plant } = bench.rig;
      bench.run(HOUR_MS);
      bench.fault('wick', true, 3 * HOUR_MS);
      bench.run(HOUR_MS);
      bench.hand.putWeight(plant.wool.capacityG - plant.wool.heldG + aboveG);
      bench.run(40 * MINUTE_MS);
      expectToldTruly(grower);
      bench.hand.takeTray();
      bench.run(5 * MINUTE_MS);
      expect(grower.status().heat.heldBy).toBe('tray-off');
      bench.hand.takeWeight();
      bench.hand.putTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});
