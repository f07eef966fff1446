/** A tray that is away is known to be, whatever stands in its place, and known again as it comes back. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

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

describe('a weight put in the place of a tray into which water had run, hours before it was taken off', () => {
  it('is no tray that lost that water: it ran off long ago, and no mat is heated under the weight', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('pump-stuck-on', true, 30 * MINUTE_MS);
    bench.run(8 * HOUR_MS);
    bench.hand.takeTray();
    bench.run(7 * HOUR_MS);
    bench.hand.putWeight(2_700);
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.hand.takeWeight();
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  });

  it('is none on a board that has started again since, and knows still that it flowed', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('pump-stuck-on', true, 30 * MINUTE_MS);
    bench.run(6 * HOUR_MS);
    bench.reset('watchdog');
    bench.run(2 * HOUR_MS);
    bench.hand.takeTray();
    bench.run(3 * HOUR_MS);
    bench.reset('watchdog');
    bench.run(4 * HOUR_MS);
    bench.hand.putWeight(2_700);
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.hand.takeWeight();
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  });
});

describe('a weight in the place of a tray that was soaked by hand, and never marked so', () => {
  /** A tray that dried by a quarter and was soaked, then taken off for 20 minutes; the power goes at a minute of them. */
  function soakedAndTaken(cutAtMin: number | null): { grower: Grower; driedG: number } {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    const { plant } = bench.rig;
    bench.hand.takeTray();
    bench.run(5 * HOUR_MS);
    plant.wool.heldG -= 0.25 * plant.wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    const driedG = plant.trayMassG;
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    bench.hand.takeTray();
    if (cutAtMin !== null) {
      bench.run(cutAtMin * MINUTE_MS);
      bench.cutPower();
      bench.run(MINUTE_MS);
      bench.restorePower();
    }
    bench.run((20 - (cutAtMin ?? 0)) * MINUTE_MS);
    return { grower, driedG };
  }

  function expectNoTray({ grower, driedG }: { grower: Grower; driedG: number }): void {
    const { bench } = grower;
    bench.hand.putWeight(driedG);
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.hand.takeWeight();
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  }

  it('is no tray that lost that water: the mat under it stays off, and the tray is known as it comes back', () => {
    expectNoTray(soakedAndTaken(null));
  });

  it.each([1, 10])(
    'is none either where the power went meanwhile, %i min after the tray',
    (cutAtMin) => {
      expectNoTray(soakedAndTaken(cutAtMin));
    },
  );
});

describe('a weight that stood in the place of a tray, and passed for it', () => {
  it.each([0.07, 0.12])(
    'is no lid as the hand that takes it puts the tray back: dried by %d of its water, that is told as dry as it is',
    (driedShare) => {
      const grower = wateredTray();
      const { bench } = grower;
      const { plant } = bench.rig;
      bench.run(HOUR_MS);
      const asItWentG = plant.trayMassG;
      bench.hand.takeTray();
      bench.run(10 * MINUTE_MS);
      bench.hand.putWeight(asItWentG - 60);
      bench.run(20 * HOUR_MS);
      expect(grower.status().heat.heldBy).not.toBe('tray-off');
      plant.wool.heldG = (1 - driedShare) * plant.wool.capacityG;
      bench.hand.takeWeight();
      bench.run(10 * SECOND_MS);
      bench.hand.putTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});

describe('a tray that hands hold beside its scale for an hour', () => {
  it('has dried there by what a cloth drew: that is no thing taken off it', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('wick', true, HOUR_MS);
    bench.hand.liftTray(HOUR_MS);
    bench.run(HOUR_MS + 10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.1);
    expectToldTruly(grower);
    runToDose(grower, 3 * HOUR_MS);
  });
});

describe('a weight put beside a tray by the hand that then lifts it', () => {
  it('is no tray, more than half of one as it may weigh dry: the mat is off before the hand is over', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.putWeight(1_615);
    bench.run(MINUTE_MS);
    bench.hand.liftTray(5 * MINUTE_MS);
    bench.run(MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(3 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  });
});

describe('a weight beside a tray that is taken to a tub with a thing lying in it', () => {
  /** A moist tray in which 322 g lie, beside 2,137 g, soaked beside the scale before with those 2,137 g left there. */
  function trayWithBoth(): Grower {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    bench.rig.plant.wool.heldG *= 0.9;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.putWeight(2_137);
    bench.run(10 * MINUTE_MS);
    bench.hand.soakBeside(HOUR_MS);
    bench.run(2 * HOUR_MS);
    bench.hand.leaveInTray(322);
    bench.run(10 * MINUTE_MS);
    return grower;
  }

  it('is no tray, and no mat is heated under it; the tray is known as it comes back with the thing', () => {
    const grower = trayWithBoth();
    const { bench } = grower;
    bench.hand.soakBeside(HOUR_MS / 2);
    bench.run(MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    bench.run(40 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
  });

  it('is known to stand there alone where that was taken out of the tray meanwhile', () => {
    const grower = trayWithBoth();
    const { bench } = grower;
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).toBe(null);
    expectToldTruly(grower);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
  });
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

describe('a power cut while a hand has the tray off its scale', () => {
  /** Heated until it is taken off, a minute before the power goes. */
  function lifted(): Grower {
    const grower = wateredTray(
      { feed: { band: { lowC: 27, highC: 28 } } },
      { room: { meanC: 17 } },
    );
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(MINUTE_MS);
    return grower;
  }

  it('leaves it away: a weight put in its place before or meanwhile is not heated, and the tray is known as it comes back', () => {
    for (const beforeMs of [30_000, 0]) {
      const grower = lifted();
      const { bench } = grower;
      if (beforeMs > 0) bench.hand.putWeight(2_889);
      bench.run(beforeMs);
      bench.fault('mains-cut', true, 5 * MINUTE_MS);
      bench.run(MINUTE_MS);
      if (beforeMs === 0) bench.hand.putWeight(2_889);
      for (let min = 0; min < 20; min++) {
        bench.run(MINUTE_MS);
        expect(bench.state().outputs.mat).toBe(false);
      }
      bench.hand.putTray();
      bench.run(5 * MINUTE_MS);
      expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
      bench.hand.takeWeight();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    }
  });

  it('is no matter to a tray that is put back meanwhile: it is heated as soon as the power is back', () => {
    const grower = lifted();
    const { bench } = grower;
    bench.fault('mains-cut', true, 5 * MINUTE_MS);
    bench.run(MINUTE_MS);
    bench.hand.putTray();
    bench.run(7 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });
});

describe('a weight put on the scale by a hand that lifts the tray ten seconds later', () => {
  it('is no tray that lacks a lid: the mat is off while the tray is held up, and it is known as it comes back', () => {
    const grower = wateredTray({}, { room: { meanC: 17 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.putWeight(bench.rig.plant.trayMassG - 1_200);
    bench.run(10_000);
    bench.hand.liftTray(20 * MINUTE_MS);
    bench.run(MINUTE_MS);
    for (let min = 0; min < 18; min++) {
      bench.run(MINUTE_MS);
      expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'tray-off' });
    }
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });
});
