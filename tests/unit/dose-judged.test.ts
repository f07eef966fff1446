import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type DoseState,
  isGiving,
  isPumping,
  NO_DOSE,
  ranLately,
  serviceRun,
} from '../../firmware/control/dose';
import { hasCome, judgeDose, judgeGain, shownFor } from '../../firmware/control/proof';
import { WATER_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

/** A dose of 100 g on a tray that has room for it: all of it came, and stayed. */
const STAYED = {
  expectedG: 100,
  gainedG: 100,
  cameG: 100,
  driedG: 0,
  noiseG: 0.2,
  grams: 4_000,
  fullG: 4_520,
  thingsG: 0,
};
const FULL = { grams: 4_530 };

describe('what the scale says of a dose', () => {
  it('that came and stayed is that it was seen, of a full tray as of one with room', () => {
    expect(judgeDose(STAYED)).toEqual({ verdict: 'seen', drained: false });
    expect(judgeDose({ ...STAYED, ...FULL })).toEqual({ verdict: 'seen', drained: false });
  });

  it('of which some ran off a full tray is that as well, and from one with room it is no run-off', () => {
    const some = { ...STAYED, gainedG: 80 };
    expect(judgeDose({ ...some, ...FULL })).toEqual({ verdict: 'seen', drained: true });
    expect(judgeDose(some)).toEqual({ verdict: 'seen', drained: false });
  });

  it('that ran off again is that it came, where the tray is full, and where it has room that it is lost', () => {
    const ranOff = { ...STAYED, gainedG: 5 };
    expect(judgeDose({ ...ranOff, ...FULL })).toEqual({ verdict: 'seen', drained: true });
    expect(judgeDose(ranOff)).toEqual({ verdict: 'not-seen', drained: false });
  });

  it('that ran off a tray which is full with what is taken for a thing on it, is nothing', () => {
    const ranOff = { ...STAYED, gainedG: 5, thingsG: 530 };
    expect(judgeDose(ranOff)).toEqual({ verdict: 'unproved', drained: true });
    expect(judgeDose({ ...ranOff, thingsG: 510 })).toEqual({ verdict: 'not-seen', drained: false });
  });

  it('of which less came than was pumped is that it was not seen, however full the tray', () => {
    const short = { ...STAYED, gainedG: 20, cameG: 30 };
    expect(judgeDose({ ...short, ...FULL })).toEqual({ verdict: 'not-seen', drained: false });
  });

  it('is never that it drained from a tray with room for it, nor that more than came was seen', () => {
    const g = fc.double({ min: -50, max: 300, noNaN: true });
    holds(
      fc.property(
        g,
        g,
        fc.double({ min: 3_000, max: 4_519, noNaN: true }),
        (gainedG, moreG, grams) => {
          const cameG = gainedG + Math.abs(moreG);
          const { verdict, drained } = judgeDose({ ...STAYED, gainedG, cameG, grams });
          expect(drained).toBe(false);
          expect(verdict).toBe(judgeGain(gainedG, STAYED.expectedG, STAYED.noiseG, 0));
        },
      ),
    );
  });
});

describe('a dose that soaks in', () => {
  const shown = (gainsG: readonly number[], dtMs = 1_000) =>
    gainsG.reduce((ms, gainedG) => shownFor(ms, gainedG, 100, 0.2, dtMs), 0);
  const enough = WATER_LIMITS.shownMs / 1_000;

  it('has come once it has shown for ten seconds at a stretch, and not before', () => {
    expect(hasCome(shown(Array(enough - 1).fill(100)))).toBe(false);
    expect(hasCome(shown(Array(enough).fill(100)))).toBe(true);
  });

  it('has not where a hand that is more, or less, comes between', () => {
    const almost = Array(enough - 1).fill(100);
    for (const g of [0, 400]) expect(hasCome(shown([...almost, g, ...almost]))).toBe(false);
  });

  it('has come for good, whatever the weight does then', () => {
    const gains = fc.array(fc.double({ min: -2_000, max: 2_000, noNaN: true }), { maxLength: 40 });
    holds(
      fc.property(gains, gains, (before, after) => {
        const soon = shown(before);
        const later = after.reduce((ms, g) => shownFor(ms, g, 100, 0.2, 1_000), soon);
        expect(later).toBeGreaterThanOrEqual(0);
        if (hasCome(soon)) expect(later).toBe(soon);
      }),
    );
  });
});

describe('what dosing is at', () => {
  const charged = { reason: 'dry-back', plannedMl: 40, beforeG: 4_000 } as const;
  const given = { ...charged, sinceMs: 0, ranMs: 20_000, peakG: 4_040, shownMs: 0 } as const;
  const dosing: DoseState = {
    phase: 'dosing',
    ...charged,
    pumpMs: 20_000,
    deliveredMs: 4_000,
    leasedMs: 2_000,
  };
  const byHand = { ...serviceRun('prime', 9_000, 2), leasedMs: 2_000 };
  const weighing: DoseState = { phase: 'weighing', reason: 'dry-back', sinceMs: 0 };
  const all: readonly DoseState[] = [
    NO_DOSE,
    weighing,
    dosing,
    { phase: 'soaking-in', ...given },
    { phase: 'proving', ...given },
    byHand,
  ];

  it('is a dose that the scale may see from when the pump starts until it is proved, and no run by hand', () => {
    expect(all.filter(isGiving).map(({ phase }) => phase)).toEqual([
      'dosing',
      'soaking-in',
      'proving',
    ]);
  });

  it('is a pump that runs by a dose or by hand, and by nothing else', () => {
    expect(all.filter(isPumping).map(({ phase }) => phase)).toEqual(['dosing', 'service']);
  });

  it('has run the pump for no longer than its lease, nor than the time that passed', () => {
    holds(
      fc.property(fc.constantFrom(...all), fc.nat(10_000), (state, dtMs) => {
        const ranMs = ranLately(state, dtMs);
        expect(ranMs).toBe(isPumping(state) ? Math.min(dtMs, 2_000) : 0);
      }),
    );
  });
});
