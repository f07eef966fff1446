import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hasStoodAbove, leastAboveG, NOT_ABOVE, nextAbove } from '../../firmware/control/standing';
import { holds } from '../properties';
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

describe('whatever the weight does in two hours', () => {
  const course = fc.array(fc.double({ min: -50, max: 600, noNaN: true }), { maxLength: 120 });

  it('a tray has stood above its wool only where it did in each minute of the last hour', () => {
    holds(
      fc.property(course, (minutesG) => {
        const lastHour = minutesG.slice(-61);
        const stood = lastHour.length > 60 && lastHour.every((g) => g > leastAboveG(TRAY));
        if (hasStoodAbove(standing(minutesG))) expect(stood).toBe(true);
      }),
    );
  });

  it('water that runs off by half every twenty minutes never stands there', () => {
    holds(
      fc.property(fc.double({ min: 1, max: 3_000, noNaN: true }), (floodG) => {
        const runsOff = Array.from({ length: 240 }, (_, minute) => floodG * 0.5 ** (minute / 20));
        runsOff.forEach((_, i) => {
          expect(hasStoodAbove(standing(runsOff.slice(0, i + 1)))).toBe(false);
        });
      }),
    );
  });
});
