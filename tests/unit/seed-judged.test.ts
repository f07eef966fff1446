/** What must hold of a judged series of counts, whatever was counted: order, symmetry, and no more in one unit than in another. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { againstTable, comparedLots, judgedSeries, type Pacing } from '../../cli/seed/judged';
import type { Series } from '../../cli/seed/series';
import { thermalResult } from '../../cli/seed/trials';
import { printedDays } from '../../shared/crops/library/emergence';
import { cropOrNull } from '../../shared/crops/library/library';
import {
  REPLICATES_FROM_PERCENT,
  replicateRange,
  twoTestsTolerance,
} from '../../shared/statistics/tolerances';
import { holds } from '../properties';

/** Counts that only rise, on days that do, of seed that is enough for them. */
const series: fc.Arbitrary<Series> = fc
  .array(
    fc.record({ gap: fc.integer({ min: 1, max: 5 }), more: fc.integer({ min: 0, max: 40 }) }),
    { minLength: 1, maxLength: 10 },
  )
  .chain((steps) => {
    let day = 0;
    let standing = 0;
    const counts = steps.map(({ gap, more }) => {
      day += gap;
      standing += more;
      return { day, standing };
    });
    const of = fc.integer({ min: Math.max(1, standing), max: standing + 60 });
    return of.map((seeds) => ({ of: seeds, counts }));
  });

const tomato = cropOrNull('tomato');
if (tomato === null) throw new Error('no tomato in the library');

function pacingOf(counted: Series): Pacing {
  const judged = tomato === null ? null : againstTable(counted, tomato, 20);
  if (!judged?.ok) throw new Error('tomato was tried at 20 C');
  return judged.value.pacing;
}

const later = ({ of, counts }: Series, days: number): Series => ({
  of,
  counts: counts.map(({ day, standing }) => ({ day: day + days, standing })),
});

/** From soonest to latest; while it is waited for, nothing is known. */
const LATENESS: readonly Pacing[] = ['early', 'in-time', 'unsure', 'late'];

describe('a series of counts', () => {
  it('has a share within its interval, and more of it when one more is up', () => {
    holds(
      fc.property(series, (counted) => {
        const { share, lowShare, highShare, emerged } = judgedSeries(counted);
        expect(lowShare).toBeLessThanOrEqual(share);
        expect(share).toBeLessThanOrEqual(highShare);
        if (emerged === counted.of) return;
        const last = counted.counts.at(-1)?.day ?? 0;
        const more = {
          of: counted.of,
          counts: [...counted.counts, { day: last + 1, standing: emerged + 1 }],
        };
        const judged = judgedSeries(more);
        expect(judged.share).toBeGreaterThan(share);
        expect(judged.lowShare).toBeGreaterThan(lowShare);
      }),
    );
  });

  it('is never called sooner when all of it came later', () => {
    holds(
      fc.property(series, fc.integer({ min: 1, max: 20 }), (counted, days) => {
        const [now, then] = [pacingOf(counted), pacingOf(later(counted, days))];
        if (now === 'waiting' || then === 'waiting') return;
        expect(LATENESS.indexOf(then)).toBeGreaterThanOrEqual(LATENESS.indexOf(now));
      }),
    );
  });

  it('is called late only where not even half stood on the last day of the table, 8.5', () => {
    holds(
      fc.property(series, (counted) => {
        const inTime = counted.counts.filter(({ day }) => day <= 8.5);
        const seenAfter = counted.counts.some(
          ({ day, standing }) => day >= 8.5 && standing < counted.of / 2,
        );
        if (inTime.some(({ standing }) => standing >= counted.of / 2) || !seenAfter) {
          expect(pacingOf(counted)).not.toBe('late');
        } else expect(pacingOf(counted)).toBe('late');
      }),
    );
  });

  it('differs from another as that one does from it', () => {
    holds(
      fc.property(series, series, (one, other) => {
        const [a, b] = [judgedSeries(one), judgedSeries(other)];
        const [there, back] = [comparedLots(a, b), comparedLots(b, a)];
        expect(there.points).toBeCloseTo(back.points, 9);
        expect(there.chance).toBeCloseTo(back.chance, 9);
      }),
    );
  });
});

describe('tables and trials', () => {
  it('tolerate more the nearer a mean is to half, and as much of failure as of germination', () => {
    const percent = fc.integer({ min: REPLICATES_FROM_PERCENT, max: 98 });
    holds(
      fc.property(percent, (mean) => {
        for (const tolerated of [(of: number) => replicateRange(4, of), twoTestsTolerance]) {
          expect(tolerated(mean) ?? 0).toBeGreaterThanOrEqual(tolerated(mean + 1) ?? 0);
          expect(tolerated(101 - mean)).toBe(tolerated(mean));
        }
      }),
    );
  });

  it('print whole days that lie within what they stand for', () => {
    const days = fc.double({ min: 1, max: 170, noNaN: true });
    holds(
      fc.property(days, days, (a, b) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        const printed = printedDays({ low, high });
        expect(printed.low).toBeLessThanOrEqual(printed.high);
        expect(printed.low).toBeGreaterThanOrEqual(low - 0.5);
        expect(printed.high).toBeLessThanOrEqual(high + 0.5);
        expect(printedDays({ low: printed.low - 0.5, high: printed.high + 0.5 })).toEqual(printed);
      }),
    );
  });

  it('give the same line in hours as in days, and fewer days where it is warmer', () => {
    const base = fc.double({ min: 0, max: 12, noNaN: true });
    const sum = fc.double({ min: 30, max: 300, noNaN: true });
    holds(
      fc.property(base, sum, (baseC, sumCDays) => {
        const trials = [15, 20, 25, 30].map((atC) => ({ atC, days: sumCDays / (atC - baseC) }));
        const fit = thermalResult(trials, 22, 'metric');
        expect(fit.baseC).toBeCloseTo(baseC, 6);
        expect(fit.to?.days).toBeCloseTo(sumCDays / (22 - baseC), 6);
        const hours = trials.map(({ atC, days }) => ({ atC, days: days * 24 }));
        expect(thermalResult(hours, 22, 'metric').sumCDays).toBeCloseTo(24 * sumCDays, 3);
        const warmer = thermalResult(trials, 28, 'us');
        expect(warmer.to?.days).toBeLessThan(fit.to?.days ?? 0);
      }),
    );
  });
});
