import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { momentsFrom, nextMoments, wouldJerk } from '../../firmware/control/jerks';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { MINUTE_S, SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

/** What hands are seen to have done at once on a tray that weighs so much each second, from `fromG` on, g. */
function jerkedG(weightsG: readonly number[], noisyG: number, fromG: number): number {
  let moments = momentsFrom(fromG, 0);
  let sumG = 0;
  weightsG.forEach((grams, i) => {
    const uptimeMs = (i + 1) * SECOND_MS;
    const next = nextMoments(moments, { grams, noisyG, uptimeMs, dtMs: SECOND_MS });
    moments = next.moments;
    sumG += next.jerkG;
  });
  return sumG;
}

const seconds = (count: number, trueG: (second: number) => number): number[] =>
  Array.from({ length: count }, (_, second) => trueG(second));
const anyNoise = fc.integer({ min: 3, max: 100 });

describe('what hands do at once on a scale that trembles', () => {
  it('is told by what it weighs, whenever it comes within a mean, and once', () => {
    const stepG = fc.integer({ min: -3_000, max: 3_000 });
    holds(
      fc.property(stepG, anyNoise, fc.integer({ min: 0, max: 20 }), (step, noisyG, atSecond) => {
        fc.pre(wouldJerk(step, noisyG));
        const weightsG = seconds(MINUTE_S, (second) => 4_000 + (second < atSecond ? 0 : step));
        // Of a mean that the step is a part of, the rest may be too little to be told besides.
        const missedG = Math.abs(jerkedG(weightsG, noisyG, 4_000) - step);
        expect(missedG).toBeLessThan(Math.abs(step) * 0.5);
      }),
    );
  });

  it('is nothing where water flows, as fast as it does', () => {
    const paceGPerS = fc.double({
      min: -WEIGHT_LIMITS.flowsMostGPerS,
      max: WEIGHT_LIMITS.flowsMostGPerS,
      noNaN: true,
    });
    holds(
      fc.property(paceGPerS, anyNoise, (gPerS, noisyG) => {
        const weightsG = seconds(10 * MINUTE_S, (second) => 4_000 + gPerS * second);
        expect(jerkedG(weightsG, noisyG, 4_000)).toBe(0);
      }),
    );
  });

  it('is nothing while its readings alone wander, by more than a hand in each of them', () => {
    const off = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
      minLength: 60,
      maxLength: 300,
    });
    holds(
      fc.property(off, anyNoise, (shares, noisyG) => {
        const weightsG = shares.map((share) => 4_000 + share * noisyG);
        expect(jerkedG(weightsG, noisyG, 4_000)).toBe(0);
      }),
    );
  });

  it('is what had moved already, where the first reading is on the way from what it weighed before', () => {
    const weightsG = [4_040, ...seconds(MINUTE_S, () => 4_100)];
    expect(jerkedG(weightsG, 5, 4_000)).toBeGreaterThan(80);
  });
});
