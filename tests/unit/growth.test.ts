import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  drainedWeights,
  type Growth,
  grown,
  learnt,
  type Stand,
  soakedWeights,
  type Weighed,
} from '../../firmware/control/growth';
import { GROWTH_LIMITS } from '../../firmware/limits';
import { DAY_MS } from '../../shared/units/time';
import { holds } from '../properties';

/** Water that 98 plugs hold, g. */
const WATER_G = 4_060;
const NONE = { gPerMs: 0, plantsG: 0 };
const seedlings = (ageDays: number, pieces = 98, pieceMl = 52, crop = 'tomato'): Stand => ({
  crop,
  sownPieces: pieces,
  pieces,
  pieceMl,
  ageMs: ageDays * DAY_MS,
});
const UNBORN = seedlings(Number.NaN);
const grownG = (growth: Growth, sinceMs: number, stand = UNBORN): number =>
  grown(growth, stand, sinceMs, WATER_G).g;

describe('plants on the scale', () => {
  it('weigh nothing before they are up', () => {
    expect(grownG(NONE, 20 * DAY_MS)).toBe(0);
  });

  it('until they were weighed weigh what usual ones of their age do, or nothing, or twice as much', () => {
    // 98 plugs: 2 to 4 g a plant in five to six weeks from sowing.
    const { g, offG } = grown(NONE, seedlings(32), 40 * DAY_MS, WATER_G);
    expect(g).toBeGreaterThan(2 * 98);
    expect(g).toBeLessThan(4 * 98);
    expect(offG).toBeCloseTo(g, 6);
    expect(grownG(NONE, 40 * DAY_MS, seedlings(1))).toBeLessThan(15);
    // Fewer of them have more light each.
    const fewG = grownG(NONE, 40 * DAY_MS, seedlings(32, 30));
    expect(fewG).toBeLessThan(g);
    expect(fewG).toBeGreaterThan((g * 30) / 98);
    // Roots of old plants fill their plug: they grow no more.
    expect(grownG(NONE, 90 * DAY_MS, seedlings(80, 10))).toBeLessThanOrEqual(10 * 52 * 0.15);
  });

  it('are guessed by their crop: a cucumber comes up with half a gram', () => {
    const { g, offG } = grown(NONE, seedlings(6, 98, 52, 'cucumber'), 10 * DAY_MS, WATER_G);
    // 122 g on the bench.
    expect(g - offG).toBeLessThan(122);
    expect(g + offG).toBeGreaterThan(122);
    expect(grownG(NONE, 10 * DAY_MS, seedlings(6, 98, 52, 'lettuce'))).toBeLessThan(25);
  });

  it('that are up before anybody marks it are reckoned with', () => {
    const before = { ...seedlings(0, 98, 52, 'cucumber'), ageMs: Number.NaN };
    expect(grown(NONE, before, 5 * DAY_MS, WATER_G)).toEqual({ g: 0, offG: 98 * 0.45 * 2 });
    expect(grown(NONE, { ...before, pieces: 0 }, 5 * DAY_MS, WATER_G).offG).toBe(0);
  });

  it('are guessed only from where capacity was last taken', () => {
    const all = grownG(NONE, 40 * DAY_MS, seedlings(30));
    const first = grownG(NONE, 40 * DAY_MS, seedlings(20));
    expect(grownG(NONE, 10 * DAY_MS, seedlings(30))).toBeCloseTo(all - first, 0);
  });

  it('that stood still from one capacity to the next were weighed: no guess takes their place', () => {
    const growth = learnt(NONE, -10, 14 * DAY_MS, WATER_G);
    expect(grownG(growth ?? NONE, 7 * DAY_MS, seedlings(30))).toBeLessThan(1);
  });

  it('are what the same pieces hold more than the last time, and grow on at that pace', () => {
    const growth = learnt(NONE, 140, 14 * DAY_MS, WATER_G);
    expect(growth?.plantsG).toBe(140);
    expect(grownG(growth ?? NONE, 7 * DAY_MS)).toBeCloseTo(70, 6);
    expect(learnt(growth ?? NONE, 100, 7 * DAY_MS, WATER_G)?.plantsG).toBe(240);
  });

  it('are not read from two soaks on one day, from a loss, or from other pieces', () => {
    expect(learnt(NONE, 40, DAY_MS, WATER_G)).toBe(null);
    expect(learnt(NONE, -60, 14 * DAY_MS, WATER_G)).toBe(null);
    expect(learnt(NONE, 2_000, 14 * DAY_MS, WATER_G)).toBe(null);
    expect(learnt(NONE, Number.NaN, 14 * DAY_MS, WATER_G)).toBe(null);
    expect(learnt(NONE, 40, Number.POSITIVE_INFINITY, WATER_G)).toBe(null);
  });

  it('are never thought heavier than a share of the water: an old pace is no licence to flood', () => {
    holds(
      fc.property(
        fc.double({ min: 0, max: 2_000, noNaN: true }),
        fc.double({ min: 3, max: 200, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (gainG, days, laterDays) => {
          const growth = learnt(NONE, gainG, days * DAY_MS, WATER_G) ?? NONE;
          const g = grownG(growth, laterDays * DAY_MS, seedlings(laterDays, 2_000));
          expect(g).toBeGreaterThanOrEqual(0);
          expect(g).toBeLessThanOrEqual(GROWTH_LIMITS.mostShare * WATER_G + 1e-6);
        },
      ),
    );
  });
});

describe('a tray that stands soaked again', () => {
  /** Soaked a week ago, its plants not weighed yet. */
  const BEFORE: Weighed = {
    capacityG: 4_600,
    dryG: 600,
    sinceSoakedMs: 7 * DAY_MS,
    growthGPerMs: 0,
    plantsG: 0,
  };

  it('and is heavier has that in plants: a dry weight that was weighed keeps its range', () => {
    expect(soakedWeights(BEFORE, true, 4_700, 600)).toEqual({
      capacityG: 4_700,
      dryG: 700,
      sinceSoakedMs: 0,
      growthGPerMs: 100 / (7 * DAY_MS),
      plantsG: 100,
    });
  });

  it('takes a dry weight that was reckoned as it is reckoned now', () => {
    expect(soakedWeights(BEFORE, false, 4_700, 640)).toMatchObject({ dryG: 640, plantsG: 100 });
  });

  it('by what is no growth has new weights for what they are, and its pace is unknown again', () => {
    const paced = { ...BEFORE, growthGPerMs: 1e-7, plantsG: 80 };
    const other = { capacityG: 2_000, dryG: 600, sinceSoakedMs: 0, growthGPerMs: 0, plantsG: 80 };
    expect(soakedWeights(paced, true, 2_000, 600)).toEqual(other);
  });

  it('of its own accord is believed only where it holds no less than before: its range stays, weighed or not', () => {
    expect(drainedWeights(BEFORE, 4_700)).toEqual(soakedWeights(BEFORE, true, 4_700, 600));
    expect(drainedWeights(BEFORE, 4_500)).toBe(null);
    expect(drainedWeights({ ...BEFORE, capacityG: Number.NaN }, 4_700)).toBe(null);
    expect(drainedWeights({ ...BEFORE, sinceSoakedMs: DAY_MS }, 4_700)).toBe(null);
  });

  it('in any weights keeps the water it may hold, and its plants never weigh less than before', () => {
    const capacity = fc.double({ min: 1_000, max: 6_000, noNaN: true });
    const days = fc.integer({ min: 0, max: 60 });
    holds(
      fc.property(capacity, capacity, days, (capacityG, nowG, age) => {
        const before = { ...BEFORE, capacityG, sinceSoakedMs: age * DAY_MS, plantsG: 10 };
        const after = drainedWeights(before, nowG);
        if (after === null) return;
        expect(after.capacityG - after.dryG).toBeCloseTo(capacityG - BEFORE.dryG, 6);
        expect(after.plantsG).toBeGreaterThan(before.plantsG);
      }),
    );
  });

  it('marked soaked stands at just that weight from now on, its dry weight its own or grown by what it weighs more', () => {
    const capacity = fc.integer({ min: 1_000, max: 6_000 });
    const days = fc.integer({ min: 0, max: 60 });
    holds(
      fc.property(capacity, capacity, days, fc.boolean(), (capacityG, nowG, age, dryWeighed) => {
        const before = { ...BEFORE, capacityG, sinceSoakedMs: age * DAY_MS, plantsG: 10 };
        const after = soakedWeights(before, dryWeighed, nowG, BEFORE.dryG);
        expect([after.capacityG, after.sinceSoakedMs]).toEqual([nowG, 0]);
        expect([BEFORE.dryG, BEFORE.dryG + nowG - capacityG]).toContain(after.dryG);
        if (!dryWeighed) expect(after.dryG).toBe(BEFORE.dryG);
        expect(after.plantsG).toBeGreaterThanOrEqual(before.plantsG);
        expect(after.growthGPerMs).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});
