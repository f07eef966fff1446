import { describe, expect, it } from 'vitest';
import { hasStoodAbove, leastAboveG, NOT_ABOVE, nextAbove } from '../../firmware/control/standing';
import { TRAY } from './tray-on-scale';

/** A tray that stands so much above capacity, minute by minute, g. */
const standing = (minutesG: readonly number[]) =>
  minutesG.reduce((state, aboveG) => nextAbove(state, aboveG, TRAY), NOT_ABOVE);
const minutes = (count: number, g: number): number[] => Array.from({ length: count }, () => g);

describe('a tray that stands above what its wool holds', () => {
  it('has stood there after an hour, no nearer than a capacity is known', () => {
    expect(hasStoodAbove(standing(minutes(60, 300)))).toBe(false);
    expect(hasStoodAbove(standing(minutes(61, 300)))).toBe(true);
    expect(hasStoodAbove(standing(minutes(90, leastAboveG(TRAY))))).toBe(false);
    expect(hasStoodAbove(standing(minutes(90, Number.NaN)))).toBe(false);
  });

  it('is judged anew where half of it runs off, or runs in besides', () => {
    for (const thenG of [120, 480]) {
      expect(hasStoodAbove(standing([...minutes(50, 300), ...minutes(50, thenG)]))).toBe(false);
      expect(hasStoodAbove(standing([...minutes(50, 300), ...minutes(61, thenG)]))).toBe(true);
    }
  });
});
