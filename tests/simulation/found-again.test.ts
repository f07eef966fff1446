/** A tray that is weighed again after hours: what stands on it then, and what hands do in the same minute. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

/** The next cycle is weighed, to its last dose. */
function expectDosesSeen(grower: Grower): void {
  const before = doses(grower).length;
  runToDose(grower, DAY_MS);
  grower.bench.run(3 * HOUR_MS);
  const verdicts = doses(grower)
    .slice(before)
    .map(({ verdict }) => verdict);
  expect(verdicts.length).toBeGreaterThan(0);
  expect(new Set(verdicts)).toEqual(new Set(['seen']));
}

describe('a scale that is plugged in again on a tray with a weight on it', () => {
  it('knows the weight as it is taken off a minute later, though the power was cut meanwhile', () => {
    const grower = wateredTray({ watering: { startShare: 0.08, stopShare: 0.04 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.putWeight(970);
    // Under a lid from then on: it dries by less than is reckoned.
    bench.run(2 * HOUR_MS);
    bench.hand.setLid('closed');
    bench.fault('scale-unplugged', true, 7 * HOUR_MS);
    bench.run(6 * HOUR_MS);
    bench.cutPower();
    bench.run(10 * MINUTE_MS);
    bench.restorePower();
    bench.run(50 * MINUTE_MS + MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
    bench.hand.setLid('off');
    expectDosesSeen(grower);
  });
});

describe('a tray found after a power cut with a weight on it, watered meanwhile', () => {
  /** A little dry as the power goes, and full as it comes back; the weight is told by then. */
  function foundTray(): Grower {
    const grower = wateredTray({ watering: { startShare: 0.08, stopShare: 0.04 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.takeTray();
    bench.run(10 * MINUTE_MS);
    bench.rig.plant.wool.heldG *= 0.985;
    bench.hand.putTray();
    bench.run(20 * MINUTE_MS);
    bench.fault('mains-cut', true, 2 * HOUR_MS);
    bench.run(MINUTE_MS);
    bench.hand.leaveInTray(160);
    bench.hand.soak();
    bench.run(4 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    return grower;
  }

  it.each([0, 500])(
    'is told as wet as it is once that weight is taken off, with a later one of %i g',
    (laterG) => {
      const grower = foundTray();
      const { bench } = grower;
      bench.hand.leaveInTray(laterG);
      bench.run(HOUR_MS);
      bench.hand.clearTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
      expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
      expectDosesSeen(grower);
    },
  );
});

describe('a tray from which a cloth drew in a power cut, found with a weight on it, heavier than it was', () => {
  it('is told as dry as it is once that is taken off', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('wick', true, 30 * MINUTE_MS);
    bench.fault('mains-cut', true, 3 * HOUR_MS);
    bench.run(2 * HOUR_MS);
    bench.hand.putWeight(500);
    bench.run(HOUR_MS + MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.05);
    bench.run(10 * MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
  });
});

describe('a tray that a cloth drew on in a power cut, with a weight on it that weighs a part of what it lost', () => {
  /** For all that the scale says, the weight may have gone and the tray have dried a little; or have dried by all of it. */
  function foundTray(): Grower {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(752);
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.fault('wick', true, 2 * HOUR_MS);
    bench.fault('mains-cut', true, 4 * HOUR_MS);
    bench.run(4 * HOUR_MS + 10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.2);
    return grower;
  }

  it('still says that the weight may stand there, and is told as dry as it is once that is taken off', () => {
    const grower = foundTray();
    const { bench } = grower;
    bench.run(3 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    expectToldTruly(grower);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
    expectDosesSeen(grower);
  });

  it.each(['as the board goes on', 'over a start'])(
    'is told as wet as it is once it was soaked with the weight in it, and then without: %s',
    (how) => {
      const grower = foundTray();
      const { bench } = grower;
      bench.hand.soak();
      bench.run(2 * HOUR_MS);
      expectToldTruly(grower);
      expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
      if (how === 'over a start') {
        bench.cutPower();
        bench.restorePower();
        bench.run(MINUTE_MS);
      }
      bench.hand.clearTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});

describe('a weight put on a tray that lacks what a cloth drew in the minutes that its scale was unplugged', () => {
  function trayWithWeight(): Grower {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('scale-unplugged', true, 2 * MINUTE_MS);
    bench.fault('wick', true, 3 * MINUTE_MS);
    bench.run(HOUR_MS);
    bench.fault('wick', true, 28 * MINUTE_MS);
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(319);
    bench.run(10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.06);
    return grower;
  }

  const starts = {
    'the board starts meanwhile': ({ bench }: Grower) => bench.reset('watchdog'),
    'another weight stood beside it as the board started': ({ bench }: Grower) => {
      bench.hand.putWeight(900);
      bench.run(10 * MINUTE_MS);
      bench.reset('watchdog');
      bench.run(10 * MINUTE_MS);
      bench.hand.takeWeight();
    },
  };

  it.each(Object.entries(starts))(
    'hides nothing of what the tray dried by as it is taken off again, though %s',
    (_, start) => {
      const grower = trayWithWeight();
      const { bench } = grower;
      start(grower);
      bench.run(10 * MINUTE_MS);
      bench.hand.clearTray();
      bench.run(10 * MINUTE_MS);
      expectToldTruly(grower);
    },
  );
});
