import { describe, expect, test } from 'vitest';
import {
  calibrateTwoPoint,
  codeFromMass,
  decodeBridgeWord,
  isSaturated,
  massFromCode,
  massUncertaintyG,
  nominalCountsPerG,
  type ScaleUncertainties,
  standardFromLimit,
  weightNeededG,
} from '../../shared/physics/bridge';

describe("24-bit bridge words (converter data sheet: two's complement, end codes mean saturation)", () => {
  test.each([
    [0x000000, 0],
    [0x000001, 1],
    [0x7fffff, 8388607],
    [0x800000, -8388608],
    [0xffffff, -1],
    [0x123456, 1193046],
    [0xedcba9, -1193047],
  ])('word %i is code %i', (word, code) => {
    expect(decodeBridgeWord(word)).toBe(code);
  });

  test('an end code never becomes a mass', () => {
    const calibration = { zeroCode: 0, countsPerG: 429.5 };
    for (const word of [0x7fffff, 0x800000]) {
      expect(isSaturated(decodeBridgeWord(word))).toBe(true);
      expect(massFromCode(decodeBridgeWord(word), calibration)).toBeNaN();
    }
    expect(isSaturated(0x7ffffe)).toBe(false);
    expect(massFromCode(Number.NaN, calibration)).toBeNaN();
  });
});

describe('counts per gram of common load cells, gain 128 (ratiometric, from the converter data sheet)', () => {
  test.each([
    [1000, 1, 2147.5],
    [5000, 1, 429.5],
    [5000, 2, 859.0],
    [10_000, 1, 214.7],
    [10_000, 2, 429.5],
    [20_000, 2, 214.7],
  ])('%d g cell of %d mV/V: %d', (ratedG, ratedMvPerV, counts) => {
    expect(nominalCountsPerG({ ratedG, ratedMvPerV })).toBeCloseTo(counts, 1);
  });

  test('1 mV/V gives 2 147 484 counts at rated load, whatever the excitation', () => {
    expect(Math.round(nominalCountsPerG({ ratedG: 1, ratedMvPerV: 1 }))).toBe(2147484);
  });

  test("channel B has gain 32 (data sheet), not the 64 of a reseller's page", () => {
    expect(nominalCountsPerG({ ratedG: 1, ratedMvPerV: 1 }, 32)).toBeCloseTo(536_870.9, 1);
  });
});

describe('calibration with a known weight', () => {
  test('zero and span come out of two codes', () => {
    const made = calibrateTwoPoint(-52_000, 377_500, 1000);
    expect(made).toEqual({ ok: true, value: { zeroCode: -52_000, countsPerG: 429.5 } });
    if (!made.ok) return;
    expect(massFromCode(-52_000, made.value)).toBe(0);
    expect(massFromCode(codeFromMass(3200.6, made.value), made.value)).toBeCloseTo(3200.6, 9);
  });

  test.each<[string, number, number, number, RegExp]>([
    ['a weight of nothing', 0, 429_500, 0, /more than 0 g/],
    ['a negative weight', 0, 429_500, -5, /more than 0 g/],
    ['an endless weight', 0, 429_500, Number.POSITIVE_INFINITY, /more than 0 g/],
    ['no change', 5000, 5000, 1000, /counts under the weight/],
    ['a change too small to mean anything', 5000, 6500, 1000, /counts under the weight/],
    ['a reading that falls under the weight', 5000, -424_500, 1000, /upside down/],
    ['a saturated reading', 0, 0x7fffff, 1000, /overloaded/],
    ['a saturated zero', -0x800000, 0, 1000, /overloaded/],
    ['no reading', Number.NaN, 429_500, 1000, /no reading/],
  ])('refuses %s', (_what, zero, loaded, weight, why) => {
    const verdict = calibrateTwoPoint(zero, loaded, weight);
    expect(verdict.ok ? 'accepted' : verdict.why).toMatch(why);
  });
});

describe('standard uncertainty of a weighing (law of propagation, GUM 5.1.2)', () => {
  const u: ScaleUncertainties = {
    zeroG: 0.1,
    loadedG: 0.1,
    readingG: 0.1,
    weightG: standardFromLimit(0.05),
  };

  test.each([
    [0, 0.141],
    [500, 0.123],
    [1000, 0.144],
    [2000, 0.252],
    [3000, 0.384],
  ])('calibrated with 1 kg (class M1, +/- 50 mg): at %d g it is %d g', (massG, expected) => {
    expect(Math.abs(massUncertaintyG(massG, 1000, u) - expected)).toBeLessThan(0.001);
  });

  test('the weight it asks for gives just the uncertainty wanted; a lighter one does not', () => {
    const needed = weightNeededG(3000, 0.2, u);
    expect(needed.ok).toBe(true);
    if (!needed.ok) return;
    expect(massUncertaintyG(3000, needed.value, u)).toBeCloseTo(0.2, 9);
    expect(massUncertaintyG(3000, needed.value * 0.9, u)).toBeGreaterThan(0.2);
    expect(massUncertaintyG(3000, needed.value * 1.1, u)).toBeLessThan(0.2);
  });

  test('no weight helps where the reading alone is worse than wanted', () => {
    const verdict = weightNeededG(3000, 0.09, u);
    expect(verdict.ok ? '' : verdict.why).toMatch(/scatter too much/);
  });
});
