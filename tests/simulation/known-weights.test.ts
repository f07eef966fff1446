/** What marks and matting say of the known weights. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, Grower, MINUTE_MS } from './grower';
import { profileWith, sownTray } from './scenes';

describe('a tray that is marked soaked again', () => {
  it('weighs more by its plants, and not by more water: dry it would weigh as much more', () => {
    const grower = sownTray();
    grower.bench.run(4 * DAY_MS);
    const { capacityG, dryG } = grower.status().water;
    if (capacityG === null || dryG === null) throw new Error('the weights are unknown');
    grower.call('mark.set', { mark: 'soaked', trayG: capacityG + 100 });
    const after = grower.status().water;
    expect(after.capacityG).toBeCloseTo(capacityG + 100, 1);
    expect(after.dryG).toBeCloseTo(dryG + 100, 1);
  });
});

describe('matting under the plugs', () => {
  it('holds water that is in no piece: a dry weight that nobody has taken is reckoned without it', () => {
    const reckonedG = (holdsMl: number): number => {
      const spread = {
        by: 'capillary-matting',
        areaM2: 0.13,
        dryG: 60,
        holdsMl,
        outlets: 0,
      } as const;
      const grower = new Grower();
      grower.calibrateScale();
      grower.load(profileWith({ profile: { spread }, watering: { doseMl: 150 } }));
      grower.bench.hand.putTray();
      grower.bench.hand.soak();
      grower.bench.run(30 * MINUTE_MS);
      return grower.call('mark.set', { mark: 'soaked', trayG: 4_600 }).dryG ?? Number.NaN;
    };
    // 240 ml of it, at 20 C.
    expect(reckonedG(0) - reckonedG(240)).toBeCloseTo(239.6, 0);
  });
});
