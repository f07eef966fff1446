/** How a scale that trembles begins to be followed: `trembling.ts`, whose course is `trembling.test.ts`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wouldJerk } from '../../firmware/control/jerks';
import {
  beginsToTremble,
  meanShare,
  movesTrembling,
  nextTrembling,
  type Trembling,
} from '../../firmware/control/trembling';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

const at = (grams: number, noisyG = 5, second = 0) => ({
  ...{ grams, noisyG },
  ...{ uptimeMs: HOUR_MS + second * SECOND_MS, dtMs: SECOND_MS },
});
/** What hands are seen to have done at once on a tray that stands at `grams` for half a minute from then on, g. */
function toldG(first: Trembling, grams: number, noisyG: number): number {
  let [state, sumG] = [first, 0];
  for (let second = 1; second <= 30; second++) {
    const before = { beforeG: grams, driesGPerMs: 0 };
    const next = nextTrembling(state, at(grams, noisyG, second), before);
    state = next.state;
    sumG += next.jerkG;
  }
  return sumG;
}

describe('the mean of a scale that trembles', () => {
  it('has of each weight its share of five minutes, and after as long without one it is that weight', () => {
    expect(meanShare(MINUTE_MS)).toBe(0.2);
    expect([WEIGHT_LIMITS.noisyMeanMs, HOUR_MS].map(meanShare)).toEqual([1, 1]);
    expect(meanShare(0)).toBe(0);
  });

  it('lies between what it was and each weight, and nearer to that the longer it is since the last', () => {
    const ms = fc.nat(10 * MINUTE_MS);
    holds(
      fc.property(ms, ms, (dtMs, moreMs) => {
        expect(meanShare(dtMs)).toBeGreaterThanOrEqual(0);
        expect(meanShare(dtMs + moreMs)).toBeLessThanOrEqual(1);
        expect(meanShare(dtMs + moreMs)).toBeGreaterThanOrEqual(meanShare(dtMs));
        // Two ticks in a row bring it no further than one of both.
        const left = (1 - meanShare(dtMs)) * (1 - meanShare(moreMs));
        expect(1 - left).toBeLessThanOrEqual(meanShare(dtMs) + meanShare(moreMs) + 1e-12);
      }),
    );
  });
});

describe('a scale that begins to tremble', () => {
  it('is followed from that reading on, as well known as one reading', () => {
    const { moments, ...state } = beginsToTremble(at(4_100));
    expect(state).toEqual({
      ...{ nearG: 4_100, meanG: 4_100, offG2: 25, stoodG: 4_100, foundG: 4_100 },
      ...{ jumpedMs: HOUR_MS, lostG: 0 },
    });
    expect(moments).toMatchObject({ thirdG: 4_100, sinceMs: HOUR_MS });
  });

  it('as it moves away from what it weighed has been moved by a hand that far already', () => {
    const { moments, ...moved } = movesTrembling(at(4_100), 4_000);
    expect(moments).toMatchObject({ thirdG: 4_000, secondG: 4_000, lastG: 4_000, readings: 0 });
    expect(toldG({ ...moved, moments }, 4_100, 5)).toBe(100);
    expect(toldG(beginsToTremble(at(4_100)), 4_100, 5)).toBe(0);
  });

  it('tells so all that a hand did before its first reading, once, where it can be told from the noise; else none', () => {
    const g = fc.integer({ min: -2_000, max: 2_000 });
    holds(
      fc.property(g, fc.integer({ min: 3, max: 60 }), (byG, noisyG) => {
        const state = movesTrembling(at(4_000 + byG, noisyG), 4_000);
        const told = toldG(state, 4_000 + byG, noisyG);
        expect([0, byG]).toContain(told);
        if (wouldJerk(byG, noisyG)) expect(told).toBe(byG);
        if (Math.abs(byG) <= WEIGHT_LIMITS.noisyJumpSigmas * noisyG) expect(told).toBe(0);
        const { moments, ...moved } = state;
        expect(beginsToTremble(at(4_000 + byG, noisyG))).toMatchObject(moved);
      }),
    );
  });
});
