import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeGain, nextProof, ranOffStill, type Unproved } from '../../firmware/control/proof';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../../firmware/limits';
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
  const NONE = { unproved: 0, ranOff: 0 };
  const BOTH_LAST = { unproved: LAST, ranOff: LAST };
  const weighed = (verdict: (typeof DOSE_VERDICTS)[number], before = BOTH_LAST, byHand = false) =>
    nextProof(before, { reason: 'dry-back', verdict, drained: false, came: false }, byHand);
  const ranOff = (before: Unproved) =>
    nextProof(
      before,
      { reason: 'dry-back', verdict: 'unproved', drained: true, came: false },
      false,
    );
  const cameAndSpoiled = (before: Unproved) =>
    nextProof(
      before,
      { reason: 'dry-back', verdict: 'handled', drained: false, came: true },
      false,
    );

  it('one that was seen clears those nobody could weigh, and those that ran off', () => {
    expect(weighed('seen')).toEqual({ ...NONE, alarm: null });
  });

  it('one that was not seen, or too large, is an alarm at once', () => {
    expect(weighed('not-seen', NONE)).toEqual({ ...NONE, alarm: 'dose-not-seen' });
    expect(weighed('too-large', NONE)).toEqual({ ...NONE, alarm: 'dose-too-large' });
  });

  it.each(['handled', 'stopped', 'cut', 'unproved'] as const)(
    'one that nobody could weigh (%s) is chance, a second in a row is not',
    (verdict) => {
      const first = weighed(verdict, NONE);
      expect(first).toEqual({ unproved: 1, ranOff: 0, alarm: null });
      expect(weighed(verdict, first)).toEqual({ ...NONE, alarm: 'dose-not-seen' });
    },
  );

  it('one that ran off a tray that may be full is a doubt, a second before one is seen is water lost', () => {
    const first = ranOff(NONE);
    expect(first).toEqual({ unproved: 0, ranOff: 1, alarm: null });
    expect(ranOff(first)).toEqual({ ...NONE, alarm: 'dose-not-seen' });
  });

  it('one that ran off, and one that a hand spoiled, are not two of a kind', () => {
    const spoiled = weighed('handled', ranOff(NONE));
    expect(spoiled.alarm).toBe(null);
    expect(weighed('handled', ranOff(weighed('handled', NONE))).alarm).toBe(null);
  });

  it('one that ran off is no doubt any more once other things are on the tray, or none', () => {
    const { ranOff: counts } = ranOff(NONE);
    expect(ranOffStill(counts, 480, 480 + WEIGHT_LIMITS.matchG)).toBe(1);
    expect(ranOffStill(counts, 480, 0)).toBe(0);
    expect(ranOffStill(counts, 480, -480)).toBe(0);
  });

  it('one that ran off stays a doubt while the things on the tray weigh the same, however many there are', () => {
    const g = fc.double({ min: -3_000, max: 3_000, noNaN: true });
    holds(
      fc.property(fc.nat(3), g, g, (ranOff, thenG, nowG) => {
        const isSame = Math.abs(nowG - thenG) <= WEIGHT_LIMITS.matchG;
        expect(ranOffStill(ranOff, thenG, nowG)).toBe(isSame ? ranOff : 0);
      }),
    );
  });

  it('hands that spoil each dose between hide no water that runs off', () => {
    expect(ranOff(weighed('handled', ranOff(NONE))).alarm).toBe('dose-not-seen');
  });

  it('one that came before a hand spoiled it is no doubt, and clears those nobody could weigh', () => {
    expect(cameAndSpoiled(BOTH_LAST)).toEqual({ unproved: 0, ranOff: LAST, alarm: null });
    expect(cameAndSpoiled(weighed('handled', NONE))).toEqual({ ...NONE, alarm: null });
    expect(weighed('handled', cameAndSpoiled(NONE)).alarm).toBe(null);
  });

  it('one that came before a hand spoiled it hides no water that runs off', () => {
    expect(ranOff(cameAndSpoiled(ranOff(NONE))).alarm).toBe('dose-not-seen');
  });

  it("the grower's own stop tells nothing either way", () => {
    expect(weighed('stopped', BOTH_LAST, true)).toEqual({ ...BOTH_LAST, alarm: null });
    expect(weighed('stopped', NONE, true)).toEqual({ ...NONE, alarm: null });
  });

  it('a run by hand tells nothing, whatever the scale says of it', () => {
    for (const verdict of DOSE_VERDICTS) {
      for (const reason of ['prime', 'calibrate'] as const) {
        const run = { reason, verdict, drained: false, came: false };
        expect(nextProof(BOTH_LAST, run, false)).toEqual({ ...BOTH_LAST, alarm: null });
      }
    }
  });

  it('no course of doses gives more of a kind than allowed without an alarm', () => {
    const dose = fc.oneof(
      fc.record({
        reason: fc.constantFrom(...DOSE_REASONS),
        verdict: fc.constantFrom(...DOSE_VERDICTS),
        drained: fc.constant(false),
        came: fc.constant(false),
      }),
      fc.constant({ reason: 'dry-back', verdict: 'unproved', drained: true, came: false } as const),
      fc.constant({ reason: 'dry-back', verdict: 'handled', drained: false, came: true } as const),
    );
    holds(
      fc.property(fc.array(dose, { maxLength: 60, size: 'max' }), (doses) => {
        let before: Unproved = NONE;
        let inARow = 0;
        let sinceSeen = 0;
        for (const one of doses) {
          const step = nextProof(before, one, false);
          before = step;
          if (one.reason === 'prime' || one.reason === 'calibrate') continue;
          const isOver = one.verdict === 'seen' || step.alarm !== null;
          inARow = isOver || one.drained || one.came ? 0 : inARow + 1;
          sinceSeen = isOver ? 0 : sinceSeen + Number(one.drained);
          for (const many of [inARow, sinceSeen, step.unproved, step.ranOff]) {
            expect(many).toBeLessThan(WATER_LIMITS.unprovedMax);
          }
        }
      }),
    );
  });
});
