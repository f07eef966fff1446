import { describe, expect, it } from 'vitest';
import { UnseenThings } from './things';

/** Looks as [a scale can say, things on the tray, g, its dry-back]; of what it lost meanwhile nobody can know so much. */
function unknownAfter(...looks: readonly (readonly [boolean, number, number])[]): number {
  const things = new UnseenThings();
  for (const [sees, thingsG, dryBack] of looks) things.look(!sees, thingsG, dryBack);
  return things.lostShare;
}

describe('what no board can know of a tray that dried while no scale could say', () => {
  it('is what it lost meanwhile, if a thing came besides and stands there', () => {
    const share = unknownAfter(
      [true, 0, 0.02],
      [false, 0, 0.06],
      [false, 1_200, 0.08],
      [true, 1_200, 0.09],
    );
    expect(share).toBeCloseTo(0.07, 9);
  });

  it('is no more later, however much it dries before eyes', () => {
    const share = unknownAfter(
      [true, 0, 0.02],
      [false, 1_200, 0.08],
      [true, 1_200, 0.09],
      [true, 1_200, 0.5],
    );
    expect(share).toBeCloseTo(0.07, 9);
  });

  it.each([
    [
      'no thing came',
      [
        [true, 0, 0.02],
        [false, 0, 0.08],
        [true, 0, 0.09],
      ],
    ],
    [
      'the thing stood there before',
      [
        [true, 1_200, 0.02],
        [false, 1_200, 0.08],
        [true, 1_200, 0.09],
      ],
    ],
    [
      'the thing came before eyes',
      [
        [true, 0, 0.02],
        [true, 1_200, 0.08],
        [true, 1_200, 0.09],
      ],
    ],
    [
      'the thing is gone',
      [
        [true, 0, 0.02],
        [false, 1_200, 0.08],
        [true, 1_200, 0.09],
        [true, 0, 0.1],
      ],
    ],
  ] as const)('is nothing where %s', (_, looks) => {
    expect(unknownAfter(...looks)).toBe(0);
  });
});
