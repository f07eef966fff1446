import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MinuteHistory } from '../../firmware/guard/minute-history';
import { holds } from '../properties';

describe('a history of minutes', () => {
  it('tells what was so many minutes ago, as far back as it goes, and no further', () => {
    const value = fc.double({ noNaN: true });
    holds(
      fc.property(
        fc.integer({ min: 1, max: 61 }),
        fc.array(value, { maxLength: 150, size: 'max' }),
        fc.nat(70),
        (minutes, values, ago) => {
          const history = new MinuteHistory(minutes);
          for (const one of values) history.push(one);
          const kept = values.slice(-minutes);
          expect(history.ago(ago)).toBe(kept[kept.length - 1 - ago] ?? Number.NaN);
        },
      ),
    );
  });

  it('forgets all of it at once', () => {
    const history = new MinuteHistory(3);
    history.push(1);
    history.push(2);
    history.clear();
    expect(history.ago(0)).toBeNaN();
    history.push(7);
    expect(history.ago(0)).toBe(7);
    expect(history.ago(1)).toBeNaN();
  });
});
