/** Whole per cent, as every screen and page has them. */
import { expect, it } from 'vitest';
import { percent } from '../../cli/words/percent';

it.each([
  [41 / 98, '42 %'],
  [0.397, '40 %'],
  [0, '0 %'],
  [1, '100 %'],
  // Not all of it, and not nothing.
  [399 / 400, '99 %'],
  [0.999999, '99 %'],
  [1 / 400, '1 %'],
  [Number.NaN, '-'],
])('%d is %s', (share, words) => {
  expect(percent(share)).toBe(words);
});
