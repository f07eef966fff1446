import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { settlement } from '../../firmware/control/settlement';
import { DOSE_VERDICTS } from '../../shared/journal/kinds';
import { holds } from '../properties';

const ML_PER_S = 2;
/** An opening of 40 ml, 20 s of pump time. */
const OPENING = { verdict: 'handled', plannedMl: 40, ranMs: 20_000 } as const;

describe('a dose that was cut short', () => {
  it('gives back what the pump did not run, whoever cut it', () => {
    for (const verdict of ['stopped', 'handled'] as const) {
      const dose = { verdict, plannedMl: 40, ranMs: 5_000 } as const;
      expect(settlement(dose, false, ML_PER_S, true).backMl).toBe(30);
      expect(settlement(dose, false, ML_PER_S, false)).toEqual({ backMl: 30, opensAgain: false });
    }
  });

  it('as the water a stage opens with is still to be given, but from half of it on it was given', () => {
    expect(settlement({ ...OPENING, ranMs: 9_999 }, true, ML_PER_S, false).opensAgain).toBe(true);
    expect(settlement({ ...OPENING, ranMs: 10_000 }, true, ML_PER_S, false).opensAgain).toBe(false);
  });

  it('by the grower is not given again: the stop was meant', () => {
    const stopped = { ...OPENING, verdict: 'stopped', ranMs: 0 } as const;
    expect(settlement(stopped, true, ML_PER_S, true)).toEqual({ backMl: 40, opensAgain: false });
    expect(settlement(stopped, true, ML_PER_S, false).opensAgain).toBe(true);
  });
});

describe('an opening that did not arrive', () => {
  it('is still to be given, and keeps its charge: the pump may have run', () => {
    const lost = { ...OPENING, verdict: 'not-seen' } as const;
    expect(settlement(lost, true, ML_PER_S, false)).toEqual({ backMl: 0, opensAgain: true });
  });
});

describe('any dose', () => {
  const dose = fc.record({
    verdict: fc.constantFrom(...DOSE_VERDICTS),
    plannedMl: fc.double({ min: 0, max: 700, noNaN: true }),
    ranMs: fc.nat(400_000),
  });
  const mlPerS = fc.double({ min: 0, max: 10, noNaN: true });

  it('gives back no more than was charged, and leaves charged what the pump ran', () => {
    holds(
      fc.property(dose, fc.boolean(), mlPerS, fc.boolean(), (one, opens, rate, byHand) => {
        const { backMl } = settlement(one, opens, rate, byHand);
        expect(backMl).toBeGreaterThanOrEqual(0);
        expect(backMl).toBeLessThanOrEqual(one.plannedMl);
        if (backMl > 0) expect(one.plannedMl - backMl).toBeCloseTo((one.ranMs / 1000) * rate, 6);
      }),
    );
  });

  it('that ended by itself keeps its charge whole, seen or not', () => {
    holds(
      fc.property(dose, fc.boolean(), mlPerS, fc.boolean(), (one, opens, rate, byHand) => {
        fc.pre(one.verdict !== 'stopped' && one.verdict !== 'handled');
        expect(settlement(one, opens, rate, byHand).backMl).toBe(0);
      }),
    );
  });

  it('opens again only if it was the first water of its stage', () => {
    holds(
      fc.property(dose, fc.boolean(), mlPerS, fc.boolean(), (one, opens, rate, byHand) => {
        if (settlement(one, opens, rate, byHand).opensAgain) expect(opens).toBe(true);
      }),
    );
  });
});
