/** What must hold of chances, intervals and seed numbers, whatever the figures. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chanceOfAtLeast,
  plantsFrom,
  SOWING_LIMITS,
  seedsFor,
} from '../../shared/statistics/binomial';
import { fisherChance } from '../../shared/statistics/fisher';
import { lnChoose, lnFactorial } from '../../shared/statistics/log-factorial';
import { normalQuantile } from '../../shared/statistics/normal';
import { wilsonInterval } from '../../shared/statistics/wilson';
import { holds } from '../properties';

const share = fc.double({ min: 0.02, max: 1, noNaN: true });
const chance = fc.double({ min: 0.001, max: 0.9999, noNaN: true });
const plants = fc.integer({ min: 1, max: 400 });

/** The seeds, of figures that are allowed. */
function seeds(wanted: number, germination: number, certainty: number): number {
  const answer = seedsFor(wanted, germination, certainty);
  if (!answer.ok) throw new Error(answer.why);
  return answer.value;
}

describe('the seeds for so many plants', () => {
  it('are enough, and one fewer is not', () => {
    holds(
      fc.property(plants, share, chance, (wanted, germination, certainty) => {
        const sown = seeds(wanted, germination, certainty);
        expect(chanceOfAtLeast(sown, germination, wanted)).toBeGreaterThanOrEqual(certainty - 1e-9);
        if (sown > wanted) {
          expect(chanceOfAtLeast(sown - 1, germination, wanted)).toBeLessThan(certainty);
        }
      }),
    );
  });

  it('are never fewer for more plants, poorer seed or more certainty', () => {
    holds(
      fc.property(plants, share, share, chance, chance, (wanted, one, other, sure, surer) => {
        const [poor, good] = [Math.min(one, other), Math.max(one, other)];
        const [less, more] = [Math.min(sure, surer), Math.max(sure, surer)];
        expect(seeds(wanted + 1, good, less)).toBeGreaterThan(seeds(wanted, good, less) - 1);
        expect(seeds(wanted, poor, less)).toBeGreaterThanOrEqual(seeds(wanted, good, less));
        expect(seeds(wanted, good, more)).toBeGreaterThanOrEqual(seeds(wanted, good, less));
      }),
    );
  });

  it('give that many plants back, and no fewer', () => {
    holds(
      fc.property(plants, share, chance, (wanted, germination, certainty) => {
        const sown = seeds(wanted, germination, certainty);
        expect(plantsFrom(sown, germination, certainty)).toBeGreaterThanOrEqual(wanted);
        expect(plantsFrom(sown - 1, germination, certainty)).toBeLessThan(wanted);
      }),
    );
  });

  it('are found for the most that may be asked, too', () => {
    const { plantsMost, germinationLeast, certaintyMost } = SOWING_LIMITS;
    const sown = seeds(plantsMost, germinationLeast, certaintyMost);
    expect(sown).toBeGreaterThan(plantsMost / germinationLeast);
    expect(sown).toBeLessThan((plantsMost / germinationLeast) * 1.02);
  });

  it.each([
    [0, 0.9, 0.95, 'whole number from 1'],
    [1.5, 0.9, 0.95, 'whole number from 1'],
    [1e9, 0.9, 0.95, 'to 100000'],
    [10, 0, 0.95, 'from 1 % to 100 %'],
    [10, 85, 0.95, 'from 1 % to 100 %'],
    [10, Number.NaN, 0.95, 'from 1 % to 100 %'],
    [10, 0.9, 1, '99.999 % at most'],
    [10, 0.9, 0, 'more than 0 %'],
  ])('are refused for %d plants of %d with certainty %d', (wanted, germination, sure, why) => {
    const answer = seedsFor(wanted, germination, sure);
    expect(answer.ok ? '' : answer.why).toContain(why);
  });
});

describe('chances', () => {
  it('of so many or more fall with the number, from 1 to that of all', () => {
    holds(
      fc.property(fc.integer({ min: 1, max: 300 }), share, (sown, germination) => {
        expect(chanceOfAtLeast(sown, germination, 0)).toBe(1);
        for (let k = 1; k <= sown; k++) {
          expect(chanceOfAtLeast(sown, germination, k)).toBeLessThanOrEqual(
            chanceOfAtLeast(sown, germination, k - 1) + 1e-12,
          );
        }
        expect(chanceOfAtLeast(sown, germination, sown)).toBeCloseTo(germination ** sown, 10);
      }),
      { numRuns: 30 },
    );
  });

  it('of a difference do not depend on which lot is first, nor on what is counted: up or not', () => {
    const counted = fc
      .integer({ min: 0, max: 120 })
      .chain((of) => fc.record({ of: fc.constant(of), found: fc.integer({ min: 0, max: of }) }));
    holds(
      fc.property(counted, counted, (a, b) => {
        const apart = fisherChance(a, b);
        const not = ({ found, of }: typeof a) => ({ found: of - found, of });
        expect(apart).toBeGreaterThan(0);
        expect(fisherChance(b, a)).toBeCloseTo(apart, 9);
        expect(fisherChance(not(a), not(b))).toBeCloseTo(apart, 9);
        expect(fisherChance(a, a)).toBeCloseTo(1, 9);
      }),
    );
  });
});

describe('Wilson’s interval', () => {
  it('holds the share counted, is narrower for more seeds and wider for more confidence', () => {
    holds(
      fc.property(fc.integer({ min: 1, max: 500 }), fc.nat(500), (of, some) => {
        const found = Math.min(of, some);
        const { low, high } = wilsonInterval(found, of);
        expect(low).toBeLessThanOrEqual(found / of);
        expect(high).toBeGreaterThanOrEqual(found / of);
        const more = wilsonInterval(found * 10, of * 10);
        expect(more.high - more.low).toBeLessThan(high - low);
        const surer = wilsonInterval(found, of, 0.99);
        expect(surer.high - surer.low).toBeGreaterThan(high - low);
      }),
    );
  });

  it('tells nothing where nothing was counted', () => {
    expect(wilsonInterval(0, 0)).toEqual({ low: 0, high: 1 });
  });
});

describe('the numbers under them', () => {
  it('count the ways to choose as a triangle of sums does, past where the series begins', () => {
    let row = [1];
    for (let n = 1; n <= 40; n++) {
      row = [1, ...row.slice(1).map((value, i) => value + (row[i] ?? 0)), 1];
      row.forEach((ways, k) => {
        expect(lnChoose(n, k)).toBeCloseTo(Math.log(ways), 11);
      });
    }
    expect(lnFactorial(0)).toBe(0);
  });

  it('have normal quantiles that rise, and mirror at the middle', () => {
    holds(
      fc.property(fc.double({ min: 1e-9, max: 0.4999, noNaN: true }), (p) => {
        expect(normalQuantile(p)).toBeLessThan(normalQuantile(p + 1e-5));
        expect(normalQuantile(1 - p)).toBeCloseTo(-normalQuantile(p), 5);
      }),
    );
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(2)).toBeNaN();
  });
});
