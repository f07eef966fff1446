/** What is put on a tray, or taken off it, is known from its water; and a tray that is away is known to be. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

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
  it('leaves it as wet as it is, when it is watered by hand as the power goes, and the weight then taken off', () => {
    const grower = wateredTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    wool.heldG -= 0.14 * wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
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
    const grower = wateredTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    wool.heldG -= 0.14 * wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
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

  it('is known to be away, and known again, though more than half of what it weighs dry was taken off before', () => {
    const grower = wateredTray({ feed: { band: { lowC: 27, highC: 28 } } });
    const { bench } = grower;
    const { plant } = bench.rig;
    const lidG = 0.75 * (plant.parameters.trayG + plant.wool.dryG);
    bench.hand.leaveInTray(lidG);
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe('tray-off');
    plant.wool.heldG -= 0.1 * plant.wool.capacityG;
    bench.hand.putTray();
    bench.run(2 * HOUR_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
    expect(grower.alarms()).toEqual([]);
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

describe('a weight put in the place of a tray by the hand that took it off', () => {
  it.each([
    ['held up as the scale trembles', 44],
    ['held up for a minute', 1],
  ])(
    'is no tray: nothing is heated on it, and the tray is known as it comes back; %s',
    (_, min) => {
      const grower = wateredTray({}, { room: { meanC: 17 } });
      const { bench } = grower;
      bench.run(HOUR_MS);
      bench.hand.liftTray(80 * MINUTE_MS);
      bench.run(min * MINUTE_MS);
      bench.hand.putWeight(870);
      bench.run(2 * MINUTE_MS);
      expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
      bench.run((75 - min) * MINUTE_MS);
      expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
      bench.run(10 * MINUTE_MS);
      expect(grower.status().heat.heldBy).toBe(null);
      bench.hand.takeWeight();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});

describe('a weight in the place of a tray that was taken away while the scale was silent', () => {
  it('is not watered and the mat under it is not heated; the tray beside it is known as it comes back', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('scale-unplugged', true, 90 * MINUTE_MS);
    bench.run(HOUR_MS);
    bench.hand.putWeight(1_300);
    bench.hand.takeTray();
    bench.run(35 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    const before = doses(grower).length;
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'tray-away')).toBe('unaccepted');
    expect(doses(grower)).toHaveLength(before);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });
});

describe('a weight that was left in a tray as it dried beside its scale', () => {
  it('comes back with it, is told once it has not run off, and taken out it leaves the tray as dry as it is', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * HOUR_MS);
    bench.rig.plant.wool.heldG -= 0.04 * bench.rig.plant.wool.capacityG;
    bench.hand.leaveInTray(450);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
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
