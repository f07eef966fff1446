/** The ladder of feed and an injector's stock, against the table on a bag: 15-5-15 (Hummert, How to mix a concentrate for an injector). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Lean, ladderOf } from '../../shared/crops/ladder';
import { crops } from '../../shared/crops/library/library';
import { stockGL } from '../../shared/physics/feed';
import { G_PER_OZ, ML_PER_GAL } from '../../shared/units/kinds';
import { holds } from '../properties';

/** Nitrogen of the feed, mg/l; its EC, mS/cm; and the concentrate for 1:15, 1:100 and 1:200, ounces to the gallon. */
const BAG = [
  [50, 0.37, 0.68, 4.5, 9],
  [100, 0.74, 1.35, 9, 18],
  [200, 1.48, 2.7, 18, 36],
] as const;

const begin = (name: string, stage: string, dli: number | null): number | null => {
  const crop = crops().find((one) => one.name === name);
  if (crop === undefined) throw new Error(`no ${name}`);
  return ladderOf(crop, dli).find((rung) => rung.stage === stage)?.start?.ecMsCm ?? null;
};

describe('the EC of a feed of which only the nitrogen is published', () => {
  test('is as the bag prints it: petunia of 50 mg/l begins with 0.37 mS/cm, of 100 with 0.74', () => {
    // In strong light a range is begun at its weak end: 50 to 75 and 100 to 150 mg/l.
    expect(begin('petunia', 'seedling', 30)).toBeCloseTo(BAG[0][1], 2);
    expect(begin('petunia', 'grow', 30)).toBeCloseTo(BAG[1][1], 2);
  });
});

describe('the concentrate of an injector', () => {
  test.each(BAG)('for %d mg/l N is as the bag prints it, to 2 in 100', (wantMgL, _, ...ounces) => {
    [15, 100, 200].forEach((ratio, i) => {
      const ozGal = (stockGL(wantMgL, 0.15, ratio) * ML_PER_GAL) / 1000 / G_PER_OZ;
      expect(Math.abs(ozGal / (ounces[i] ?? 0) - 1)).toBeLessThan(0.02);
    });
  });

  // R. Yates, Your Secret Decoder Ring for Fertilizer Injectors, GrowerTalks 6/2018.
  test('of 20-10-20 for 200 mg/l at 1:100 takes 13.5 oz to the gallon', () => {
    const ozGal = (stockGL(200, 0.2, 100) * ML_PER_GAL) / 1000 / G_PER_OZ;
    expect(Math.abs(ozGal / 13.5 - 1)).toBeLessThan(0.02);
  });

  test('grows as what is wanted and with the ratio, and falls as the bag holds more', () => {
    const some = fc.double({ min: 0.05, max: 1, noNaN: true });
    holds(
      fc.property(
        fc.integer({ min: 1, max: 1000 }),
        some,
        fc.integer({ min: 1, max: 400 }),
        (want, share, ratio) => {
          const gL = stockGL(want, share, ratio);
          expect(stockGL(2 * want, share, ratio) / gL).toBeCloseTo(2, 9);
          expect(stockGL(want, share / 2, ratio) / gL).toBeCloseTo(2, 9);
          expect(stockGL(want, share, 2 * ratio) / gL).toBeCloseTo(2, 9);
        },
      ),
    );
  });
});

describe('a rung', () => {
  const ORDER: readonly Lean[] = ['stronger', 'as-told', 'weaker'];
  const light = fc.double({ min: 0.1, max: 60, noNaN: true });

  test('is never stronger in more light, and begins within what its source says', () => {
    holds(
      fc.property(fc.constantFrom(...crops()), light, light, (crop, one, other) => {
        const [dim, bright] = one < other ? [one, other] : [other, one];
        const brighter = ladderOf(crop, bright);
        ladderOf(crop, dim).forEach((rung, i) => {
          const next = brighter[i];
          if (rung.start === null || next?.start === null || next === undefined) return;
          expect(next.start.ecMsCm).toBeLessThanOrEqual(rung.start.ecMsCm);
          if (rung.lean === null || next.lean === null) return;
          expect(ORDER.indexOf(next.lean)).toBeGreaterThanOrEqual(ORDER.indexOf(rung.lean));
        });
      }),
    );
  });
});
