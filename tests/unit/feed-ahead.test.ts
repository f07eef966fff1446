import { describe, expect, it } from 'vitest';
import { feedAhead, type StagePlace } from '../../shared/profile/first-feed';
import type { Stage } from '../../shared/profile/profile';
import { DAY_S } from '../../shared/units/time';
import { HOLD, WEIGH } from './small-profile';

const hold = (end: Partial<Stage['end']>): Stage => ({
  ...HOLD,
  end: { afterS: 0, mark: null, ...end },
});
const weigh = (byS: number | null, end: Partial<Stage['end']>): Stage => ({
  ...WEIGH,
  opening: byS === null ? null : { byS, stopShare: 0.02 },
  end: { afterS: 0, mark: null, ...end },
});

/** Until emergence, two days of hold, feed by a day later; then a transplant, three days of hold, feed at once. */
const STAGES = [
  hold({ mark: 'emerged', afterS: 10 * DAY_S }),
  hold({ afterS: 2 * DAY_S }),
  weigh(DAY_S, { afterS: 4 * DAY_S }),
  weigh(null, { mark: 'transplanted' }),
  hold({ afterS: 3 * DAY_S }),
  weigh(0, {}),
];
const ahead = (index: number, place: Partial<StagePlace> = {}, stages = STAGES) =>
  feedAhead(stages, { index, ranS: 0, leftS: null, opened: false, ...place });

describe('the feed ahead', () => {
  it('is counted from emergence before that, and from now afterwards', () => {
    expect(ahead(0, { leftS: 9 * DAY_S })).toEqual({ from: 'emergence', inS: 3 * DAY_S });
    expect(ahead(1, { ranS: DAY_S, leftS: DAY_S })).toEqual({ from: 'now', inS: 2 * DAY_S });
    expect(ahead(2, { ranS: DAY_S / 4 })).toEqual({ from: 'now', inS: 0.75 * DAY_S });
    expect(ahead(2, { ranS: 2 * DAY_S })).toEqual({ from: 'now', inS: 0 });
  });

  it('of a stage that has opened, or opens by its dry-back alone, has no latest time', () => {
    expect(ahead(2, { opened: true })).toBe(null);
    expect(ahead(3)).toBe(null);
  });

  it('after a transplant comes when the hold is over; not while the grower keeps the tray in it', () => {
    expect(ahead(4, { ranS: DAY_S, leftS: 2 * DAY_S })).toEqual({ from: 'now', inS: 2 * DAY_S });
    expect(ahead(4)).toBe(null);
  });

  it('has no latest time behind a stage that ends by a mark alone, nor where none waters', () => {
    const [germinate, , ...later] = STAGES;
    if (germinate === undefined) throw new Error('no stages');
    expect(ahead(0, {}, [germinate, hold({ mark: 'vented' }), ...later])).toBe(null);
    expect(ahead(0, {}, [germinate, hold({})])).toBe(null);
    expect(ahead(255)).toBe(null);
  });
});
