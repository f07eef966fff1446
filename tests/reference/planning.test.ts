/**
 * Plans against printed numbers: weeks to transplanting of extension tables, seeds by the binomial distribution,
 * degree-days, water by light.
 */
import { describe, expect, it } from 'vitest';
import { cropNamed } from '../../shared/crops/library/library';
import { WATER_USE } from '../../shared/planning/limits';
import { slowdownIn } from '../../shared/planning/pace';
import { planOf } from '../unit/plans';

const WEEK = 7;
/** Emergence and growth are each rounded to whole days. */
const ROUNDED_D = 1.5;

describe('days from sowing to transplanting, in a room as the tables have it', () => {
  // Univ. of Delaware (Mid-Atlantic recommendations), weeks in a heated greenhouse.
  it.each([
    ['tomato', 5, 6],
    ['pepper', 7, 9],
    ['eggplant', 6, 9],
    ['cucumber', 2, 4],
    ['cabbage', 6, 7],
    ['broccoli', 4, 7],
    ['lettuce', 4, 6],
    ['onion', 9, 12],
  ])('of %s: Delaware prints %s to %s weeks', (crop, low, high) => {
    const { first, later } = planOf({ crop });
    const delaware = later.said.find(({ source }) => source === 'Univ. of Delaware');
    expect((delaware?.low ?? 0) + first.planned).toBeGreaterThan(low * WEEK - ROUNDED_D);
    expect((delaware?.low ?? 0) + first.planned).toBeLessThan(low * WEEK + ROUNDED_D);
    expect((delaware?.high ?? 0) + first.planned).toBeGreaterThan(high * WEEK - ROUNDED_D);
    expect((delaware?.high ?? 0) + first.planned).toBeLessThan(high * WEEK + ROUNDED_D);
  });

  // Knott's Handbook, growing temperatures and times of transplants (from memory): the plan's day is within its weeks.
  it.each([
    ['tomato', 5, 7],
    ['pepper', 6, 8],
    ['eggplant', 6, 8],
    ['cabbage', 5, 7],
    ['onion', 10, 12],
    ['muskmelon', 3, 4],
  ])(
    'of %s as planned: within the %s to %s weeks of a handbook that was not used',
    (crop, low, high) => {
      const { dates } = planOf({ crop });
      const weeks = (dates.ready.planned - dates.sow.planned) / WEEK;
      expect(weeks).toBeGreaterThanOrEqual(low - 0.5);
      expect(weeks).toBeLessThanOrEqual(high + 0.5);
    },
  );
});

describe('emergence in a plan', () => {
  // Harrington and Minges 1954, days from sowing at a steady soil temperature, without a mat.
  it.each([
    ['pepper', 20, 13],
    ['pepper', 25, 8],
    ['tomato', 15, 14],
    ['lettuce', 15, 4],
    ['cucumber', 20, 6],
  ])('of %s at %s C takes the %s days of the leaflet', (crop, atC, days) => {
    const { first } = planOf({ crop, mat: null, room: { nightC: atC, dayC: atC } });
    expect(Math.abs(first.planned - days)).toBeLessThan(1);
    expect(first.low).toBeLessThanOrEqual(days);
    expect(first.high).toBeGreaterThanOrEqual(days);
  });
});

describe('seeds of a plan', () => {
  // Exact binomial, 95 %: the sowing table of the project's check values (method: Sedcole 1977, Crop Sci. 17:667).
  it.each([
    [50, 0.85, 64],
    [72, 0.85, 91],
    [98, 0.9, 115],
    [200, 0.7, 304],
    [20, 0.5, 51],
    [1, 0.95, 1],
  ])('%s plants of seed that comes up by %s take %s', (plants, germination, seeds) => {
    expect(planOf({ plants, germination, spareShare: 0 }).seed.seeds).toBe(seeds);
  });
});

describe('growth by thermal time', () => {
  it('takes as much longer as degree-days say: Angus et al. 1981 by Campbell and Norman, section 2.8', () => {
    const crop = cropNamed('pepper');
    if (!crop.ok) throw new Error(crop.why);
    const times = (atC: number): number => {
      const found = slowdownIn(crop.value, { nightC: atC, dayC: atC });
      if (!found.ok) throw new Error(found.why);
      return found.value.times;
    };
    // Days x (temperature - base) stays the same; Delaware grows at 70 to 75 F by day and 60 F by night: 19.0 C.
    expect(times(19.03)).toBeCloseTo(1, 2);
    expect(times(16) * (16 - 10)).toBeCloseTo(times(19.03) * 9.03, 1);
    // Below the base no day counts.
    expect(slowdownIn(crop.value, { nightC: 7.9, dayC: 7.9 }).ok).toBe(false);
  });
});

describe('the feed of a plan', () => {
  it('is at most what the light can turn into vapour: FAO-56 has 2.45 MJ to the millimetre', () => {
    // 12 MJ/m2 a day are 4.9 mm (FAO-56); 45 % of it as light for plants at 4.57 umol/J are 24.7 mol.
    expect(24.7 * WATER_USE.highMmPerMol).toBeCloseTo(4.9, 1);
  });
});
