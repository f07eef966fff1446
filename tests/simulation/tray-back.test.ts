/** What a tray is known to hold as it comes back to its scale: it dried beside it, with things in it or without. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

/** Off the scale for so long it dries by that share of its water; it comes back, with a thing of `thingG` left in it if any. */
function driesBeside({ bench }: Grower, driedShare: number, forMs: number, thingG = 0): void {
  const { wool } = bench.rig.plant;
  bench.hand.takeTray();
  bench.run(forMs);
  wool.heldG -= driedShare * wool.capacityG;
  if (thingG > 0) bench.hand.leaveInTray(thingG);
  bench.hand.putTray();
  bench.run(10 * MINUTE_MS);
}

describe('a flooded tray that loses a part of the flood in one piece', () => {
  it('and is taken to a cloth, is as dry as it comes back: nothing is missing from it', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(500);
    bench.run(MINUTE_MS);
    bench.hand.mist(300);
    bench.run(30 * MINUTE_MS);
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    driesBeside(grower, 0.13, 10 * MINUTE_MS);
    expectToldTruly(grower);
    bench.run(HOUR_MS);
    expectToldTruly(grower);
  });
});

describe('a weight left in a full tray that is taken to a cloth a few minutes later', () => {
  it('comes back with it as a weight: no part of it has run off, and the tray is as dry as it comes back', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(900);
    bench.run(4 * MINUTE_MS);
    driesBeside(grower, 0.13, 5 * MINUTE_MS);
    expectToldTruly(grower);
    bench.run(HOUR_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
  });
});

describe('a tray that dries beside its scale and comes back with a thing in it, heavier than it went', () => {
  it.each([
    [228, 0.03],
    [500, 0.07],
  ])(
    'is told as dry as it is once those %i g are taken out, though it had dried by %d of its water',
    (thingG, driedShare) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(HOUR_MS);
      driesBeside(grower, driedShare, 6 * HOUR_MS, thingG);
      bench.hand.clearTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});

describe('a tray that dries beside its scale and comes back with a thing in it, as heavy as it went', () => {
  it.each([
    [5, 472, 0.11],
    [43, 700, 0.17],
  ])(
    'after %i h, is told as dry as it is once those %i g are taken out hours later, though it weighed the same',
    (hours, thingG, driedShare) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(HOUR_MS);
      driesBeside(grower, driedShare, hours * HOUR_MS, thingG);
      bench.run(5 * HOUR_MS);
      bench.hand.clearTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});

describe('a board that starts again after a tray came back with a thing in it', () => {
  it('tells it as dry as it is once the thing is taken out', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    driesBeside(grower, 0.11, 5 * HOUR_MS, 472);
    bench.run(HOUR_MS);
    bench.reset('fault');
    bench.run(HOUR_MS);
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });
});

describe('a tray that dries beside its scale after a weight was taken from it', () => {
  function expectDriedBeside(grower: Grower): void {
    grower.bench.run(HOUR_MS);
    driesBeside(grower, 0.1, 30 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.09);
    expectToldTruly(grower);
  }

  it('is as dry as it is, though the weight seemed lighter as the tray was soaked on a scale that trembled', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(8 * HOUR_MS);
    bench.hand.leaveInTray(453);
    bench.run(HOUR_MS);
    bench.fault('scale-noisy', true, 40 * MINUTE_MS);
    bench.run(8 * MINUTE_MS);
    bench.hand.soak();
    bench.run(33 * MINUTE_MS);
    bench.hand.clearTray();
    expectDriedBeside(grower);
  });

  it('is as dry as it is, though the weight had seemed lighter as a cloth drew while the board hung', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('board-hung', true, 10 * MINUTE_MS);
    bench.run(MINUTE_MS);
    bench.fault('wick', true, 5 * MINUTE_MS);
    bench.hand.leaveInTray(441);
    bench.run(20 * MINUTE_MS);
    bench.hand.clearTray();
    expectDriedBeside(grower);
  });
});

describe('a tray from which a cloth over the rim was seen to draw as it was taken off', () => {
  it('comes back as dry as the cloth has drawn it in five hours beside its scale: it is no other thing', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(3 * HOUR_MS);
    bench.fault('wick', true, 6 * HOUR_MS);
    bench.run(HOUR_MS);
    driesBeside(grower, 0, 5 * HOUR_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.5);
    expectToldTruly(grower);
    expect(grower.status().heat.heldBy).not.toBe('tray-off');
    bench.hand.soak();
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
  });
});

describe('a weight that is known to stand on a moist tray', () => {
  /** Told as a thing. */
  function loadedTray(): Grower {
    const grower = wateredTray();
    const { bench } = grower;
    const { wool } = bench.rig.plant;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    wool.heldG = 0.96 * wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.leaveInTray(760);
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    return grower;
  }

  it('comes back with it from beside the scale, where the tray dried by more than half of what that weighs', () => {
    const grower = loadedTray();
    driesBeside(grower, 0.1, 30 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
  });

  it('and is taken off beside the scale, where the tray is hardly watered, is gone', () => {
    const grower = loadedTray();
    const { bench } = grower;
    bench.hand.takeTray();
    bench.run(30 * MINUTE_MS);
    bench.hand.clearTray();
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
  });
});

describe('a weight that was left in a tray as it dried beside its scale', () => {
  it('comes back with it, is told once it has not run off, and taken out it leaves the tray as dry as it is', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    driesBeside(grower, 0.04, 10 * HOUR_MS, 450);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
  });
});
