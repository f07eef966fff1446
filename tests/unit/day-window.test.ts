import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isItTimeOf } from '../../firmware/control/day-window';
import { holds } from '../properties';

const minute = fc.integer({ min: 0, max: 1439 });
const within = (startMin: number, endMin: number) => (min: number) =>
  isItTimeOf({ startMin, endMin }, min);

describe('hours of the day', () => {
  it('include the first minute and not the last, past midnight too', () => {
    expect([1319, 1320, 1439, 0, 359, 360].map(within(1320, 360))).toEqual([
      false,
      true,
      true,
      true,
      true,
      false,
    ]);
    expect([479, 480, 599, 600].map(within(480, 600))).toEqual([false, true, true, false]);
  });

  it('and the hours between them make the whole day, none twice', () => {
    holds(
      fc.property(minute, minute, minute, (start, end, min) => {
        fc.pre(start !== end);
        expect(within(start, end)(min)).not.toBe(within(end, start)(min));
      }),
    );
  });

  it('never come where the profile names none, nor while the time of day is unknown', () => {
    holds(
      fc.property(minute, minute, minute, (startMin, endMin, min) => {
        expect(isItTimeOf(null, min)).toBe(false);
        expect(isItTimeOf({ startMin, endMin }, null)).toBe(false);
      }),
    );
  });
});
