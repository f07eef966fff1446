import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hasCome, judgeDose, judgeGain, shownFor } from '../../firmware/control/proof';
import { WATER_LIMITS } from '../../firmware/limits';
import type { DoseVerdict } from '../../shared/journal/kinds';
import { SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

/** 100 g came to a tray that has room for them, all of them still there, on a scale without noise. */
const CAME = {
  expectedG: 100,
  gainedG: 100,
  cameG: 100,
  driedG: 0,
  noiseG: 0,
  grams: 4_400,
  fullG: 4_500,
  thingsG: 0,
};
/** The same, all of it gone again when it is weighed. */
const RAN_OFF = { ...CAME, gainedG: 0 };
const FULL = { grams: CAME.fullG };

describe('a dose that was weighed', () => {
  it('and ran off a full tray was seen as it came, and one that ran off a tray with room is lost', () => {
    expect(judgeDose({ ...RAN_OFF, ...FULL })).toEqual({ verdict: 'seen', drained: true });
    expect(judgeDose(RAN_OFF)).toEqual({ verdict: 'not-seen', drained: false });
    expect(judgeDose({ ...RAN_OFF, fullG: Number.NaN })).toEqual({
      verdict: 'not-seen',
      drained: false,
    });
  });

  it('and ran off is no proof, and not lost, where the tray is full with what is taken for things on it', () => {
    const unproved = { verdict: 'unproved', drained: true };
    expect(judgeDose({ ...RAN_OFF, thingsG: 100 })).toEqual(unproved);
    expect(judgeDose({ ...RAN_OFF, thingsG: 99 }).verdict).toBe('not-seen');
    // What is missing from the tray makes it no fuller.
    expect(judgeDose({ ...RAN_OFF, thingsG: -100 }).verdict).toBe('not-seen');
  });

  it('and never came to the scale ran off no tray, full or not', () => {
    const never = { ...RAN_OFF, ...FULL, thingsG: 500, cameG: 69 };
    expect(judgeDose(never)).toEqual({ verdict: 'not-seen', drained: false });
    expect(judgeDose({ ...never, cameG: 70 }).verdict).toBe('seen');
  });

  it('and lost more of it than hangs in the spouts has drained, from a full tray alone', () => {
    const left = (gainedG: number, more = {}) => judgeDose({ ...CAME, ...FULL, gainedG, ...more });
    expect(left(94)).toEqual({ verdict: 'seen', drained: false });
    expect(left(93.9)).toEqual({ verdict: 'seen', drained: true });
    expect(left(93.9, { grams: CAME.fullG - 1 }).drained).toBe(false);
    // Nor by what the tray dried meanwhile, nor by what is noise.
    expect(left(90, { driedG: 5 }).drained).toBe(false);
    expect(left(90, { noiseG: 4 }).drained).toBe(false);
  });

  const anyG = fc.integer({ min: 0, max: 200 });
  const anyDose = fc.record({
    expectedG: fc.integer({ min: 20, max: 100 }),
    gainedG: fc.integer({ min: -100, max: 200 }),
    cameG: anyG,
    driedG: fc.nat(20),
    noiseG: fc.nat(3),
    grams: fc.integer({ min: 4_300, max: 4_600 }),
    fullG: fc.constant(4_500),
    thingsG: fc.integer({ min: -400, max: 400 }),
  });

  it('is seen, or too large, by no less than another that gained less', () => {
    const RANKS: readonly DoseVerdict[] = ['not-seen', 'seen', 'too-large'];
    holds(
      fc.property(anyDose, anyG, (dose, moreG) => {
        const rankOf = (gainedG: number) =>
          RANKS.indexOf(judgeDose({ ...dose, thingsG: 0, gainedG }).verdict);
        expect(rankOf(dose.gainedG + moreG)).toBeGreaterThanOrEqual(rankOf(dose.gainedG));
      }),
    );
  });

  it('is judged by what it gained alone where the tray has room; no tray that is fuller loses it sooner', () => {
    holds(
      fc.property(anyDose, (dose) => {
        const { expectedG, gainedG, noiseG, driedG, fullG } = dose;
        const gained = judgeGain(gainedG, expectedG, noiseG, driedG);
        const withRoom = judgeDose({ ...dose, grams: fullG - 1, thingsG: 0 });
        expect(withRoom).toEqual({ verdict: gained, drained: false });
        const full = judgeDose({ ...dose, ...FULL });
        if (gained !== 'not-seen') expect(full.verdict).toBe(gained);
        expect(full.verdict).not.toBe('unproved');
      }),
      { numRuns: 300 },
    );
  });

  it('drains from a tray that is full, or would be with the things on it, and from no other', () => {
    holds(
      fc.property(anyDose, (dose) => {
        const { verdict, drained } = judgeDose(dose);
        const mayBeFull = dose.grams + Math.max(0, dose.thingsG) >= dose.fullG;
        if (drained) expect(mayBeFull).toBe(true);
        if (verdict === 'unproved') expect(drained && dose.grams < dose.fullG).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});

describe('a dose that soaks in', () => {
  const { shownMs } = WATER_LIMITS;
  /** For how long it has shown after a second of each gain, g. */
  const shown = (gainsG: readonly number[], fromMs = 0) =>
    gainsG.reduce((ms, gainedG) => shownFor(ms, gainedG, 100, 0, SECOND_MS), fromMs);
  const COME_S = shownMs / SECOND_MS;

  it('has come when the scale has shown it for ten seconds at a stretch', () => {
    const seconds = (count: number) => Array.from({ length: count }, () => 100);
    expect(hasCome(shown(seconds(COME_S - 1)))).toBe(false);
    expect(hasCome(shown(seconds(COME_S)))).toBe(true);
    expect(shown([...seconds(COME_S - 1), 69, 100])).toBe(SECOND_MS);
    expect(shown([...seconds(COME_S - 1), 131])).toBe(0);
  });

  it('stays so whatever a hand puts on the tray or takes off it then', () => {
    for (const gainedG of [-4_000, 0, 600, Number.NaN]) {
      expect(hasCome(shown([gainedG], shownMs))).toBe(true);
    }
  });

  it('has come by ten seconds in a row that show it, and by nothing else, whatever the scale says', () => {
    const gains = fc.array(fc.constantFrom(100, 100, 100, 100, 100, 100, 100, 40, 300), {
      maxLength: 60,
      size: 'max',
    });
    holds(
      fc.property(gains, (gainsG) => {
        const words = gainsG.map((g) => (g === 100 ? 's' : '-')).join('');
        expect(hasCome(shown(gainsG))).toBe(words.includes('s'.repeat(COME_S)));
      }),
    );
  });
});
