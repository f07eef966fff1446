/** A scale that trembles for a day: what the tray dried meanwhile is water that it lacks, and no thing taken off it. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { SEEDS } from '../properties';
import { Grower, TEST_PROFILE } from './grower';
import { stateOfAlarm } from './scenes';

/** A soaked tray whose scale has trembled for three hours. */
function tremblingTray(seed: number): Grower {
  const grower = new Grower({ seed });
  grower.commission(TEST_PROFILE);
  grower.bench.run(HOUR_MS);
  grower.bench.fault('scale-noisy');
  grower.bench.run(3 * HOUR_MS);
  return grower;
}

/** A sown tray in a warm room, its lid off, in its first stage: nothing waters it. */
function dryingTray(seed: number): Grower {
  const grower = new Grower({ seed, room: { meanC: 28, humidityShare: 0.35 } });
  grower.commission(TEST_PROFILE);
  grower.bench.hand.setLid('off');
  grower.bench.run(HOUR_MS);
  return grower;
}

/** By how much the tray is drier than is told, as a share of its water. */
function untoldShare(grower: Grower): number {
  return (
    grower.bench.state().tray.dryBackShare - (grower.status().water.dryBackShare ?? Number.NaN)
  );
}

describe.each(SEEDS)('a tray on a scale that trembles for a day, seed %d', (seed) => {
  it('is known to be as dry as it is, while it trembles and when it is over', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    const beforeShare = bench.state().tray.dryBackShare;
    bench.fault('scale-noisy');
    bench.run(24 * HOUR_MS);
    expect(bench.state().tray.dryBackShare).toBeGreaterThan(beforeShare + 0.05);
    expect(untoldShare(grower)).toBeLessThan(0.01);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(untoldShare(grower)).toBeLessThan(0.01);
  });

  it('is, though its lid was lifted meanwhile', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    bench.fault('scale-noisy');
    for (let hour = 0; hour < 12; hour++) {
      bench.run(HOUR_MS);
      if (hour % 3 === 0) bench.hand.setLid('off');
    }
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
  });

  it('is, with a thing put on it meanwhile and when that is taken off', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    bench.fault('scale-noisy');
    bench.run(12 * HOUR_MS);
    bench.hand.leaveInTray(900);
    bench.run(6 * HOUR_MS);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
  });

  it('is, with a splash of water on the full tray, and a thing put on it hours later and taken off again', () => {
    const grower = new Grower({ seed, room: { meanC: 28, humidityShare: 0.35 } });
    const { bench } = grower;
    grower.commission(TEST_PROFILE);
    bench.fault('scale-noisy');
    bench.run(HOUR_MS);
    bench.hand.mist(120);
    bench.run(9 * HOUR_MS);
    bench.hand.leaveInTray(550);
    bench.run(HOUR_MS);
    bench.fault('scale-noisy', false);
    bench.run(10 * MINUTE_MS);
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    // What runs off within the noise may pass for a lid taken off: the splash is 100 g of 4 kg.
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.025);
  });

  it('is, though it was watered by hand meanwhile, and what stood on it before was taken off after that', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    bench.run(5 * HOUR_MS);
    bench.hand.putWeight(400);
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    bench.fault('scale-noisy');
    bench.run(HOUR_MS);
    bench.hand.mist(90);
    bench.run(HOUR_MS);
    bench.hand.takeWeight();
    bench.run(HOUR_MS);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('returned');
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
  });

  it('is, though what stood on it was taken off as a splash of water ran off', () => {
    const grower = tremblingTray(seed);
    const { bench } = grower;
    bench.hand.putWeight(759);
    bench.run(3 * HOUR_MS);
    bench.hand.mist(192);
    bench.run(12 * MINUTE_MS);
    bench.fault('scale-noisy', false);
    bench.run(2 * MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
    expect(stateOfAlarm(grower, 'thing-on-tray')).not.toBe('unaccepted');
  });

  it('is, though it was flooded meanwhile and the flood ran off', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    bench.fault('scale-noisy');
    bench.run(6 * HOUR_MS);
    bench.fault('pump-stuck-on', true, 12 * MINUTE_MS);
    bench.run(6 * HOUR_MS);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.02);
  });

  it('is, though a cloth drew on it as the board started again', () => {
    const grower = tremblingTray(seed);
    const { bench } = grower;
    bench.fault('wick', true, HOUR_MS / 2);
    bench.run(20 * MINUTE_MS);
    bench.reset('watchdog');
    bench.run(3 * HOUR_MS);
    expect(bench.state().tray.dryBackShare).toBeGreaterThan(0.05);
    expect(untoldShare(grower)).toBeLessThan(0.02);
  });

  it('tells of a weight that stands there for an hour, and knows what a cloth draws from the tray beside it', () => {
    const grower = tremblingTray(seed);
    const { bench } = grower;
    bench.hand.putWeight(493);
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
    // From when it can be weighed again nothing has come.
    bench.fault('scale-saturated', true, MINUTE_MS);
    bench.run(20 * MINUTE_MS);
    bench.fault('wick', true, HOUR_MS);
    bench.run(HOUR_MS);
    expect(bench.state().tray.dryBackShare).toBeGreaterThan(0.1);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.02);
  });

  it('is, though a flood ran off that had come before it trembled', () => {
    const grower = dryingTray(seed);
    const { bench } = grower;
    bench.fault('pump-stuck-on', true, HOUR_MS);
    bench.run(HOUR_MS + 5 * MINUTE_MS);
    bench.fault('scale-noisy');
    bench.run(7 * HOUR_MS);
    bench.hand.putWeight(300);
    bench.run(30 * MINUTE_MS);
    bench.hand.takeWeight();
    bench.run(HOUR_MS);
    bench.fault('scale-noisy', false);
    bench.run(HOUR_MS);
    expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
  });

  it.each([500, 565, 900])(
    'forgets a weight of %i g that is taken off while hands work at it for an hour',
    (g) => {
      const grower = dryingTray(seed);
      const { bench } = grower;
      bench.hand.putWeight(g);
      bench.run(5 * HOUR_MS);
      expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('unaccepted');
      bench.hand.liftTray(HOUR_MS);
      bench.run(10 * MINUTE_MS);
      // The tray is back, and hands are still on it.
      bench.fault('tray-lifted', false);
      bench.run(10 * MINUTE_MS);
      bench.hand.takeWeight();
      bench.run(2 * HOUR_MS);
      expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('returned');
      expect(Math.abs(untoldShare(grower))).toBeLessThan(0.01);
    },
  );
});
