import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeGain, nextProof } from '../../firmware/control/proof';
import { WATER_LIMITS } from '../../firmware/limits';
import { DOSE_REASONS, DOSE_VERDICTS } from '../../shared/journal/kinds';
import { holds } from '../properties';

describe('the gain that proves a dose', () => {
  it('lies between 70 and 130 % of it', () => {
    const verdicts = [69, 70, 100, 130, 131].map((gainedG) => judgeGain(gainedG, 100, 0, 0));
    expect(verdicts).toEqual(['not-seen', 'seen', 'seen', 'seen', 'too-large']);
  });

  it('must rise clearly above the noise: a nervous scale proves no small dose', () => {
    expect(judgeGain(10, 10, 3, 0)).toBe('seen');
    expect(judgeGain(10, 10, 4, 0)).toBe('not-seen');
  });

  it('is not called too large for what the noise alone may add', () => {
    expect(judgeGain(135, 100, 2, 0)).toBe('seen');
    expect(judgeGain(137, 100, 2, 0)).toBe('too-large');
  });

  it('may lack what the tray has dried by meanwhile, and may not exceed it for that', () => {
    expect(judgeGain(55, 100, 0, 15)).toBe('seen');
    expect(judgeGain(54, 100, 0, 15)).toBe('not-seen');
    expect(judgeGain(131, 100, 0, 15)).toBe('too-large');
  });

  it('is never seen where nobody knows what arrived', () => {
    expect(judgeGain(Number.NaN, 100, 0, 0)).toBe('not-seen');
    expect(judgeGain(100, Number.NaN, 0, 0)).toBe('not-seen');
    expect(judgeGain(100, 100, Number.NaN, 0)).toBe('not-seen');
  });

  it('is never seen where nothing, or less, arrived', () => {
    holds(
      fc.property(
        fc.double({ min: -5_000, max: 0, noNaN: true }),
        fc.double({ min: 1, max: 700, noNaN: true }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (gainedG, expectedG, noiseG, driedG) =>
          judgeGain(gainedG, expectedG, noiseG, driedG) === 'not-seen',
      ),
    );
  });
});

describe('what a dose proves for the next', () => {
  const LAST = WATER_LIMITS.unprovedMax - 1;
  const weighed = (verdict: (typeof DOSE_VERDICTS)[number], unproved = LAST, byHand = false) =>
    nextProof(unproved, { reason: 'dry-back', verdict }, byHand);

  it('one that was seen clears those nobody could weigh', () => {
    expect(weighed('seen')).toEqual({ unproved: 0, alarm: null });
  });

  it('one that was not seen, or too large, is an alarm at once', () => {
    expect(weighed('not-seen', 0)).toEqual({ unproved: 0, alarm: 'dose-not-seen' });
    expect(weighed('too-large', 0)).toEqual({ unproved: 0, alarm: 'dose-too-large' });
  });

  it.each(['handled', 'stopped', 'cut', 'unproved'] as const)(
    'one that nobody could weigh (%s) is chance, a second in a row is not',
    (verdict) => {
      const first = weighed(verdict, 0);
      expect(first).toEqual({ unproved: 1, alarm: null });
      expect(weighed(verdict, first.unproved)).toEqual({ unproved: 0, alarm: 'dose-not-seen' });
    },
  );

  it("the grower's own stop tells nothing either way", () => {
    expect(weighed('stopped', LAST, true)).toEqual({ unproved: LAST, alarm: null });
    expect(weighed('stopped', 0, true)).toEqual({ unproved: 0, alarm: null });
  });

  it('a run by hand tells nothing, whatever the scale says of it', () => {
    for (const verdict of DOSE_VERDICTS) {
      for (const reason of ['prime', 'calibrate'] as const) {
        expect(nextProof(LAST, { reason, verdict }, false)).toEqual({
          unproved: LAST,
          alarm: null,
        });
      }
    }
  });

  it('no course of doses gives more unweighed ones in a row than allowed without an alarm', () => {
    const dose = fc.record({
      reason: fc.constantFrom(...DOSE_REASONS),
      verdict: fc.constantFrom(...DOSE_VERDICTS),
    });
    holds(
      fc.property(fc.array(dose, { maxLength: 60, size: 'max' }), (doses) => {
        let unproved = 0;
        let inARow = 0;
        for (const one of doses) {
          const step = nextProof(unproved, one, false);
          unproved = step.unproved;
          if (one.reason === 'prime' || one.reason === 'calibrate') continue;
          inARow = one.verdict === 'seen' || step.alarm !== null ? 0 : inARow + 1;
          expect(inARow).toBeLessThan(WATER_LIMITS.unprovedMax);
          expect(unproved).toBeLessThan(WATER_LIMITS.unprovedMax);
        }
      }),
    );
  });
});
