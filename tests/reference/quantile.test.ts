/** Quantiles against the definition as it was published, worked by hand. */
import { describe, expect, it } from 'vitest';
import { quantileOf } from '../../shared/statistics/quantile';

/**
 * Hyndman and Fan 1996, definition 7: with p = (j - 1 + g) / (n - 1) the quantile is x[j] + g (x[j + 1] - x[j]). Of
 * ten values 5 % of the way is 0.45 behind the first, a quarter 2.25, the half 4.5.
 */
describe('a quantile', () => {
  const sorted = [2, 4, 4, 5, 7, 10, 11, 15, 20, 40];

  it.each([
    [0, 2],
    [0.05, 2 + 0.45 * 2],
    [0.25, 4 + 0.25 * 1],
    [0.5, 7 + 0.5 * 3],
    [0.75, 11 + 0.75 * 4],
    [0.95, 20 + 0.55 * 20],
    [1, 40],
  ])('lies %d of the way through the values', (p, value) => {
    expect(quantileOf(sorted, p)).toBeCloseTo(value, 9);
  });

  it('of one value is that, of none is no number', () => {
    expect([0.05, 0.5, 0.95].map((p) => quantileOf([3], p))).toEqual([3, 3, 3]);
    expect(quantileOf([], 0.5)).toBeNaN();
  });
});
