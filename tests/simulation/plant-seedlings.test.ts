/** Emergence against days published for constant temperatures (Harrington and Minges 1954). */
import { describe, expect, it } from 'vitest';
import { CROPS, type CropName, Seedlings } from '../../firmware/bench/plant/seedlings';
import { Random } from '../../firmware/bench/random';
import { Rig } from '../../firmware/bench/rig';

const DAY_MIN = 1440;

/** Days until half of the seed that comes at all has come, at a constant temperature. */
function daysToHalf(crop: CropName, rootZoneC: number, seed = 4): number {
  const seedlings = new Seedlings(0.129);
  seedlings.sow(CROPS[crop], 98, new Random(seed));
  for (let minute = 0; minute < 80 * DAY_MIN; minute++) {
    if (seedlings.emergedShare >= CROPS[crop].germinationShare / 2) return minute / DAY_MIN;
    seedlings.update(60, rootZoneC, 1);
  }
  return Number.POSITIVE_INFINITY;
}

describe('emergence', () => {
  it.each<[CropName, number, number]>([
    ['tomato', 20, 8],
    ['tomato', 25, 6],
    ['pepper', 20, 13],
    ['pepper', 25, 8],
    ['cucumber', 20, 6],
    ['lettuce', 15, 4],
    ['lettuce', 20, 3],
    ['onion', 15, 7],
    ['cabbage', 20, 6],
  ])('%s at %d C comes up after about %d days', (crop, rootZoneC, days) => {
    // Half a day of the fit, and the lot's own vigour of up to 7 %.
    expect(Math.abs(daysToHalf(crop, rootZoneC) - days)).toBeLessThan(0.5 + 0.12 * days);
  });

  it('does not happen below the base temperature, nor at the ceiling', () => {
    expect(daysToHalf('pepper', 10)).toBe(Number.POSITIVE_INFINITY);
    expect(daysToHalf('pepper', 40)).toBe(Number.POSITIVE_INFINITY);
    expect(daysToHalf('lettuce', 32)).toBe(Number.POSITIVE_INFINITY);
  });

  it('is no quicker above the optimum', () => {
    expect(daysToHalf('pepper', 34)).toBeCloseTo(daysToHalf('pepper', 28), 2);
    expect(daysToHalf('pepper', 28)).toBeLessThan(daysToHalf('pepper', 25));
  });

  it('brings leaves that drink: an open tray of seedlings loses more than one of bare wool', () => {
    const lossOnLastDay = (sown: boolean): number => {
      const rig = new Rig({ seed: 5, room: { meanC: 24, weatherK: 0 } });
      rig.hand.soak();
      if (sown) rig.hand.sow();
      rig.hand.setLid('vents-open');
      for (let s = 0; s < 20 * 86_400; s++) rig.step(1000, 0, 0);
      rig.hand.setLid('off');
      const before = rig.plant.water.evaporatedG;
      for (let s = 0; s < 86_400; s++) rig.step(1000, 0, 0);
      return rig.plant.water.evaporatedG - before;
    };
    expect(lossOnLastDay(true)).toBeGreaterThan(1.3 * lossOnLastDay(false));
  });

  it('leaves the plants that are kept when the rest is thrown out', () => {
    const rig = new Rig({ seed: 5, room: { meanC: 25 } });
    rig.hand.soak();
    rig.hand.sow();
    for (let s = 0; s < 15 * 86_400; s++) rig.step(1000, 0, 0);
    const before = rig.plant.grownG;
    rig.hand.transplant();
    expect(rig.plant.grownG).toBeCloseTo((before * 8) / 98, 6);
  });
});
