/** What a tray lost or got while nobody could weigh it, or so slowly that nobody saw it fall, is water. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK } from './grower';
import { changesOf, doses, floodedTray, runToDose, stateOfAlarm, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

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

  it.each(['mains-cut', 'scale-unplugged'] as const)(
    'has lost what a cloth drew that still draws as it is weighed again, sooner than a lid: %s',
    (fault) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(2 * HOUR_MS);
      bench.fault('wick', true, 75 * MINUTE_MS);
      bench.run(7 * MINUTE_MS);
      bench.fault(fault, true, 47 * MINUTE_MS);
      bench.run(2 * HOUR_MS);
      expect(trueDryBack(grower)).toBeGreaterThan(0.1);
      expectToldTruly(grower);
    },
  );

  it('is no other thing, though its mat at rest is as cold as a bare shelf, where the scale was silent since a start', () => {
    const mat = { fluxWM2: 400, contactWM2K: 15, undersideWM2K: 8 };
    const grower = wateredTray({}, { room: { meanC: 14 }, mat });
    const { bench } = grower;
    bench.fault('scale-unplugged');
    bench.cutPower();
    bench.restorePower();
    bench.run(HOUR_MS);
    bench.fault('wick', true, 3 * HOUR_MS);
    bench.run(3 * HOUR_MS);
    const isMatCold = () => {
      const { rootZoneC, matC } = grower.status().heat;
      return (rootZoneC ?? Number.NaN) - (matC ?? Number.NaN) > 3;
    };
    expect(bench.runUntil(isMatCold, DAY_MS)).toBe(true);
    bench.fault('scale-unplugged', false);
    bench.run(5 * MINUTE_MS);
    expect(grower.status().heat.heldBy).not.toBe('tray-off');
    expectToldTruly(grower);
  });

  it('has lost what it lacks, and no lid, where the scale that was silent for hours weighs again as the board starts', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('scale-unplugged', true, 6 * HOUR_MS);
    bench.run(4 * HOUR_MS);
    bench.fault('wick', true, HOUR_MS);
    bench.run(2 * HOUR_MS);
    bench.reset('request');
    bench.run(5 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.1);
    expectToldTruly(grower);
  });

  it('has lost the flood that stood in it as the scale fell silent', () => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.fault('scale-unplugged', true, 2 * HOUR_MS);
    bench.run(2 * HOUR_MS + 15 * MINUTE_MS);
    expectToldTruly(grower);
  });

  it('has lost the flood that ran off it as the power went, and dried besides', () => {
    const grower = floodedTray();
    const { bench } = grower;
    bench.fault('mains-cut', true, 12 * HOUR_MS);
    bench.run(12 * HOUR_MS + 15 * MINUTE_MS);
    expectToldTruly(grower);
  });

  it('has lost what a cloth drew out of it in a power cut, though the scale trembled as the power went', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.fault('scale-noisy', true, 30 * MINUTE_MS);
    bench.run(20 * MINUTE_MS);
    bench.fault('mains-cut', true, 2 * HOUR_MS);
    bench.fault('wick', true, 80 * MINUTE_MS);
    bench.run(2 * HOUR_MS + 15 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.1);
    expectToldTruly(grower);
  });

  it('is told as away if hands held it up as the power went, and it lost more than a tray dries beside its scale', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.liftTray(30 * MINUTE_MS);
    bench.run(20 * MINUTE_MS);
    bench.fault('mains-cut', true, 2 * HOUR_MS);
    bench.fault('wick', true, 80 * MINUTE_MS);
    bench.run(3 * HOUR_MS + 15 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.15);
    expect(grower.alarms()).toContain('tray-away');
    grower.call('mark.set', { mark: 'soaked' });
    bench.run(10 * MINUTE_MS);
    expect(grower.status().heat.heldBy).not.toBe('tray-off');
  });

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

describe('a tray that a cloth drew dry in a power cut, with a weight put on it meanwhile', () => {
  it.each([0, 4])(
    'is told as dry as it is once the weight is taken off, held up for %i minutes before',
    (minutes) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(2 * HOUR_MS);
      bench.fault('mains-cut', true, 2 * HOUR_MS);
      bench.fault('wick', true, HOUR_MS);
      bench.run(HOUR_MS);
      bench.hand.putWeight(1_304);
      bench.run(HOUR_MS + 20 * MINUTE_MS);
      bench.fault('tray-lifted', minutes > 0, minutes * MINUTE_MS);
      bench.run(15 * MINUTE_MS);
      bench.hand.takeWeight();
      bench.run(10 * MINUTE_MS);
      expect(trueDryBack(grower)).toBeGreaterThan(0.1);
      expectToldTruly(grower);
      runToDose(grower, DAY_MS);
    },
  );
});

describe('a tray that a cloth drew by more than a weight weighs which was put on it in a power cut', () => {
  it('is told as dry as it is once the weight is taken off, hours later', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('mains-cut', true, 4 * HOUR_MS);
    bench.fault('wick', true, 3 * HOUR_MS);
    bench.run(HOUR_MS);
    bench.hand.leaveInTray(1_316);
    bench.run(5 * HOUR_MS);
    bench.hand.clearTray();
    bench.run(10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.3);
    expectToldTruly(grower);
    runToDose(grower, DAY_MS);
  });
});

describe('a weight taken off a tray that nobody can weigh', () => {
  it('is known to be gone, though a cloth drew on the tray for minutes as the scale fell silent', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.hand.putWeight(972);
    bench.run(3 * HOUR_MS);
    bench.fault('wick', true, 3 * MINUTE_MS);
    bench.run(3 * MINUTE_MS);
    bench.fault('scale-unplugged', true, 3 * HOUR_MS);
    bench.run(HOUR_MS);
    bench.hand.takeWeight();
    bench.run(2 * HOUR_MS + 10 * MINUTE_MS);
    expectToldTruly(grower);
    runToDose(grower, DAY_MS);
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });
});

describe('a weight put on a tray that nobody can weigh', () => {
  it('is known to be gone as it is taken off, though nobody knew at what pace the tray dried meanwhile', () => {
    const grower = wateredTray({}, { room: { meanC: 28, humidityShare: 0.35 } });
    const { bench } = grower;
    bench.run(HOUR_MS);
    bench.reset('power-on');
    bench.run(5 * MINUTE_MS);
    bench.fault('scale-unplugged', true, 4 * HOUR_MS);
    bench.run(3 * HOUR_MS);
    bench.hand.putWeight(900);
    bench.run(3 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('returned');
    expectToldTruly(grower);
    // Nothing is thought to be missing either: what is off now is the tray.
    bench.hand.takeTray();
    bench.run(30 * MINUTE_MS);
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
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
