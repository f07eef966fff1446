/** A board that starts again while its tray drains goes on knowing that it does: water that runs out is no fall. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { changesOf, stateOfAlarm, wateredTray } from './scenes';

/** A moist tray that was given so much by hand, more than its wool can hold. */
function floodedTray(volumeMl: number): Grower {
  const grower = wateredTray();
  const { bench } = grower;
  bench.run(2 * HOUR_MS);
  bench.hand.mist(volumeMl);
  return grower;
}

/** Told within so many points of what wool and channels hold. */
const POINTS = 0.015;

function expectToldTruly(grower: Grower): void {
  const { heldG, channelG, capacityG } = grower.bench.rig.plant.wool;
  const untold = 1 - (heldG + channelG) / capacityG - (grower.status().water.dryBackShare ?? 1);
  expect(Math.abs(untold)).toBeLessThan(POINTS);
}

describe('a flooded tray whose board starts again while it drains', () => {
  it.each([
    [300, 3],
    [300, 8],
    [700, 1],
    [700, 12],
  ])(
    'is no falling weight and has no thing on it: %i ml, %i minutes before',
    (volumeMl, minutes) => {
      const grower = floodedTray(volumeMl);
      const { bench } = grower;
      bench.run(minutes * MINUTE_MS);
      bench.reset('watchdog');
      bench.run(20 * MINUTE_MS);
      expectToldTruly(grower);
      bench.run(3 * HOUR_MS);
      expectToldTruly(grower);
      expect(changesOf(grower, 'weight-falling')).toEqual([]);
      expect(stateOfAlarm(grower, 'thing-on-tray')).toBe('normal');
    },
  );

  it('is no falling weight after a power cut either, of which nobody knows how long it was', () => {
    const grower = floodedTray(300);
    const { bench } = grower;
    bench.run(3 * MINUTE_MS);
    bench.cutPower();
    bench.run(MINUTE_MS);
    bench.restorePower();
    bench.run(3 * HOUR_MS);
    expectToldTruly(grower);
    expect(changesOf(grower, 'weight-falling')).toEqual([]);
  });
});

describe('a weight on the tray, put there just before the power fails for a night', () => {
  it('is a thing when it is back, however much the tray has dried: dry-back is told truly with it and without', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.hand.putWeight(900);
    bench.run(4 * MINUTE_MS);
    bench.cutPower();
    bench.run(10 * HOUR_MS);
    bench.restorePower();
    bench.run(2 * HOUR_MS);
    expectToldTruly(grower);
    bench.hand.takeWeight();
    bench.run(HOUR_MS);
    expectToldTruly(grower);
  });
});
