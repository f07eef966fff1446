/** How soon and how many seedlings come up on the bench, beside the tables of the trade. */
import { describe, expect, it } from 'vitest';
import { cropParameters } from '../../firmware/bench/plant/crops';
import { Germination } from '../../firmware/bench/plant/germination';
import { Rig } from '../../firmware/bench/rig';
import { DAY_MIN, DAY_S } from '../../shared/units/time';

/** Seed of one lot at a constant temperature for 60 days: when half of what comes has come, and how much. */
function germinate(crop: string, soilC: number): { days: number; share: number } {
  const seed = new Germination(cropParameters(crop).seed, 1);
  let [share, days] = [0, Number.POSITIVE_INFINITY];
  for (let minute = 0; minute < 60 * DAY_MIN; minute++) {
    share += seed.update(1 / DAY_MIN, soilC, false);
    if (seed.progress >= 1) days = Math.min(days, minute / DAY_MIN);
  }
  return { days, share };
}

describe('emergence at a steady temperature (Harrington and Minges 1954, in Knott’s Handbook)', () => {
  it.each<[string, number, number, number]>([
    ['tomato', 15, 14, 98],
    ['tomato', 20, 8, 98],
    ['tomato', 25, 6, 97],
    ['tomato', 30, 6, 83],
    ['tomato', 35, 9, 46],
    ['pepper', 15, 25, 70],
    ['pepper', 20, 13, 96],
    ['pepper', 25, 8, 98],
    ['pepper', 30, 8, 95],
    ['pepper', 35, 9, 70],
    ['cucumber', 15, 13, 95],
    ['cucumber', 20, 6, 99],
    ['cucumber', 25, 4, 99],
    ['cucumber', 30, 3, 99],
    ['eggplant', 20, 13, 21],
    ['eggplant', 25, 8, 53],
    ['eggplant', 30, 5, 60],
    ['lettuce', 15, 4, 99],
    ['lettuce', 20, 3, 99],
    ['lettuce', 25, 2, 99],
    ['lettuce', 30, 3, 12],
    ['cabbage', 15, 9, 93],
    ['cabbage', 25, 5, 99],
    ['onion', 15, 7, 98],
    ['onion', 20, 5, 99],
    ['onion', 25, 4, 97],
    ['onion', 30, 4, 91],
  ])('%s at %d C is up after %d days, %d of a hundred', (crop, soilC, days, percent) => {
    const up = germinate(crop, soilC);
    expect(Math.abs(up.days - days)).toBeLessThan(0.1);
    expect(up.share * 100).toBeCloseTo(percent, 0);
  });

  it.each<[string, number]>([
    ['tomato', 5],
    ['tomato', 40],
    ['pepper', 10],
    ['pepper', 40],
    ['lettuce', 35],
    ['eggplant', 15],
    ['eggplant', 35],
    ['cabbage', 35],
  ])('%s at %d C does not come up', (crop, soilC) => {
    expect(germinate(crop, soilC).share).toBeLessThan(0.02);
  });

  it('is held up by cold, and goes on when it is warm again', () => {
    const seed = new Germination(cropParameters('pepper').seed, 1);
    for (let day = 0; day < 10; day++) expect(seed.update(1, 8, false)).toBe(0);
    let share = 0;
    for (let minute = 0; minute < 12 * DAY_MIN; minute++) {
      share += seed.update(1 / DAY_MIN, 25, false);
    }
    expect(share).toBeCloseTo(0.98, 2);
  });

  it('is lost in part by days that were too hot, though the seed did not stir', () => {
    const seed = new Germination(cropParameters('lettuce').seed, 1);
    for (let minute = 0; minute < 2 * DAY_MIN; minute++) seed.update(1 / DAY_MIN, 36, false);
    let share = 0;
    for (let minute = 0; minute < 5 * DAY_MIN; minute++) {
      share += seed.update(1 / DAY_MIN, 20, false);
    }
    expect(share).toBeLessThan(0.7);
    expect(share).toBeGreaterThan(0.2);
  });

  it('suffers under a lid left off: the open seed dries though the plug below is wet', () => {
    const upAfter12Days = (lid: 'closed' | 'off'): number => {
      const rig = new Rig({ seed: 5, room: { meanC: 24, weatherK: 0 } });
      rig.hand.soak();
      rig.hand.sow();
      rig.hand.setLid(lid);
      for (let s = 0; s < 12 * DAY_S; s++) rig.step(1000, 0, 0);
      return rig.plant.seedlings.emergedShare;
    };
    expect(upAfter12Days('closed')).toBeGreaterThan(0.9);
    expect(upAfter12Days('off')).toBeLessThan(0.3);
  });
});
