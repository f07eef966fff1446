/** What a plan asks for: seed, trays, light, warmth. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlanRequest } from '../../shared/planning/request';
import { chanceOfAtLeast } from '../../shared/statistics/binomial';
import { holds } from '../properties';
import { planOf } from './plans';

describe('what a plan needs', () => {
  it('is never less for more plants, poorer seed, more certainty', () => {
    const seeds = (changes: Partial<PlanRequest>): number =>
      planOf({ crop: 'pepper', ...changes }).seed.seeds;
    const shares = fc.double({ min: 0.3, max: 0.98, noNaN: true });
    holds(
      fc.property(
        fc.integer({ min: 1, max: 400 }),
        shares,
        shares,
        (plants, germination, certainty) => {
          const least = seeds({ plants, germination, certainty });
          expect(seeds({ plants: plants + 1, germination, certainty })).toBeGreaterThanOrEqual(
            least,
          );
          expect(
            seeds({ plants, germination: germination - 0.1, certainty }),
          ).toBeGreaterThanOrEqual(least);
          expect(
            seeds({ plants, germination, certainty: certainty + 0.01 }),
          ).toBeGreaterThanOrEqual(least);
        },
      ),
    );
  });

  it('fills whole trays before the last', () => {
    holds(
      fc.property(
        fc.integer({ min: 1, max: 2000 }),
        fc.integer({ min: 1, max: 600 }),
        (plants, cells) => {
          const { seeds, trays, inLastTray } = planOf({
            crop: 'lettuce',
            plants,
            cellsPerTray: cells,
          }).seed;
          expect((trays - 1) * cells + inLastTray).toBe(seeds);
          expect(inLastTray).toBeGreaterThan(0);
          expect(inLastTray).toBeLessThanOrEqual(cells);
        },
      ),
    );
  });

  it('reckons with seed that does not like the root zone', () => {
    const hot = planOf({ crop: 'lettuce', mat: null, room: { nightC: 28, dayC: 28 } });
    expect(hot.seed.reduced?.share).toBeLessThan(0.6);
    expect(planOf({ crop: 'lettuce', room: { nightC: 18, dayC: 18 } }).seed.reduced).toBeNull();
  });

  it('reckons light and stock stage by stage: older plants want more of both', () => {
    const { light, feedEc, strongestEc } = planOf({ crop: 'lettuce' }).needs;
    expect(light).toMatchObject({ dliMol: 10, most: { stage: 'grow', dliMol: 17 } });
    expect(light.hours).toBeGreaterThan(light.days * light.hoursPerDay * 1.2);
    // About 0.5 at first, 1.2 when they grow: common practice, and the Cornell handbook.
    expect(feedEc?.high).toBe(0.5);
    expect(strongestEc?.high).toBe(1.2);
    const { soakMl, givenMl, stockEachMl } = planOf({ crop: 'lettuce' }).needs;
    // EC 0.5 of a stock that adds 2.0 at 1:100 is 2.5 ml a litre, and for 1.2 it is 6.
    const mild = ((soakMl + givenMl.high) * 0.5) / 2 / 100;
    expect(stockEachMl?.high).toBeGreaterThan(mild * 1.2);
    expect(stockEachMl?.high).toBeLessThan(mild * 2.6);
  });

  it('takes mat days only where the root zone is to be warmer than the room', () => {
    const days = (atC: number): number =>
      planOf({ crop: 'pepper', room: { nightC: atC, dayC: atC } }).needs.matDays;
    expect(days(18)).toBeGreaterThan(days(22));
    expect(days(22)).toBeGreaterThan(days(28));
    expect(planOf({ crop: 'pepper', mat: null }).needs.matDays).toBe(0);
  });
});

describe('the seed of a plan', () => {
  it('is enough with the stated certainty wherever a trial tells how much comes up', () => {
    // Harrington and Minges 1954: 70 of 100 at 15 C, 96 at 20 C, 98 at 25 C.
    const share = (atC: number) => (atC < 20 ? 70 + ((96 - 70) * (atC - 15)) / 5 : 96) / 98;
    for (const atC of [17, 18, 18.5, 19, 20]) {
      const room = { nightC: atC, dayC: atC };
      const { seed } = planOf({ crop: 'pepper', mat: null, germination: 0.85, room });
      const chance = chanceOfAtLeast(seed.seeds, 0.85 * share(atC), seed.plants);
      expect(chance, `${atC} C`).toBeGreaterThan(0.945);
      expect(chance, `${atC} C`).toBeLessThan(0.98);
    }
  });
});
