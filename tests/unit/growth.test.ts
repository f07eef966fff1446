import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { grownG, learnt } from '../../firmware/control/growth';
import { GROWTH_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const DAY_MS = 86_400_000;
/** Water that 98 plugs hold, g. */
const WATER_G = 4_060;
const NONE = { gPerMs: 0, plantsG: 0 };

describe('plants on the scale', () => {
  it('weigh nothing until the tray has been at container capacity twice', () => {
    expect(grownG(NONE, 20 * DAY_MS, WATER_G)).toBe(0);
  });

  it('are what the same pieces hold more than the last time, and grow on at that pace', () => {
    const growth = learnt(NONE, 140, 14 * DAY_MS, WATER_G);
    expect(growth?.plantsG).toBe(140);
    expect(grownG(growth ?? NONE, 7 * DAY_MS, WATER_G)).toBeCloseTo(70, 6);
    expect(learnt(growth ?? NONE, 100, 7 * DAY_MS, WATER_G)?.plantsG).toBe(240);
  });

  it('are not read from two soaks on one day, from a loss, or from other pieces', () => {
    expect(learnt(NONE, 40, DAY_MS, WATER_G)).toBe(null);
    expect(learnt(NONE, -10, 14 * DAY_MS, WATER_G)).toBe(null);
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
          const g = grownG(growth, laterDays * DAY_MS, WATER_G);
          expect(g).toBeGreaterThanOrEqual(0);
          expect(g).toBeLessThanOrEqual(GROWTH_LIMITS.mostShare * WATER_G + 1e-6);
        },
      ),
    );
  });
});
