/** A plug that looks dry gets a mist by hand. */
import { describe, expect, it } from 'vitest';
import { ALARMS } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { changesOf, sownTray, stateOfAlarm } from './scenes';

describe('a mist in germination', () => {
  it.each([2, 4, 5, 13, 29])(
    'of %i g runs off a full tray again, and that is no drying too fast',
    (g) => {
      const grower = sownTray();
      grower.bench.hand.mist(g);
      grower.bench.run(3 * HOUR_MS);
      expect(grower.alarms()).toEqual([]);
      expect(changesOf(grower, 'drying-fast')).toEqual([]);
    },
  );

  it('that no hand shows latches nothing: a fine spray is no leak', () => {
    const grower = sownTray();
    grower.bench.rig.plant.addWater(13, 20);
    grower.bench.run(3 * HOUR_MS);
    expect(grower.alarms().filter((alarm) => ALARMS[alarm as keyof typeof ALARMS].latched)).toEqual(
      [],
    );
  });

  it('hides a lid left off for no longer than an hour', () => {
    const grower = sownTray();
    const { bench } = grower;
    bench.hand.setLid('off');
    bench.hand.mist(13);
    bench.run(HOUR_MS + 35 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'drying-fast')).toBe('unaccepted');
  });
});
