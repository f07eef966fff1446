/** A line through points, against published ones: Anscombe 1973, The American Statistician 27:17, the first of four. */
import { describe, expect, it } from 'vitest';
import { lineThrough } from '../../shared/statistics/line';

const X = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
const Y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
/** Residual sum of squares 13.75 over 9 degrees of freedom, as printed there. */
const VARIANCE = 13.75 / 9;
const NOTHING = { mean: 0, sd: Number.POSITIVE_INFINITY };
const points = X.map((x, i) => ({ x, y: Y[i] ?? Number.NaN, variance: VARIANCE }));

describe('a line', () => {
  it('is y = 3 + 0.5 x, with the standard error of its slope as printed: 0.118', () => {
    const line = lineThrough(points, NOTHING, NOTHING);
    expect(line.level).toBeCloseTo(3, 2);
    expect(line.slope).toBeCloseTo(0.5, 3);
    expect(Math.sqrt(line.slopeVar)).toBeCloseTo(0.118, 3);
  });

  it('is what was known beforehand where there are no points, and between the two with some', () => {
    const known = { mean: 1, sd: 0.1 };
    const bare = lineThrough([], { mean: 5, sd: 2 }, known);
    expect(bare).toMatchObject({ level: 5, slope: 1 });
    expect(Math.sqrt(bare.levelVar)).toBeCloseTo(2, 10);
    const both = lineThrough(points, NOTHING, known);
    expect(both.slope).toBeGreaterThan(0.5);
    expect(both.slope).toBeLessThan(1);
  });
});
