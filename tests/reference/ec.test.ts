/** EC and temperature, against ISO 7888, NIST's potassium chloride and the tables on bottles. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ecAt25C, F25_C, meterInBottle, standardAt } from '../../shared/physics/ec';
import { holds } from '../properties';

const standard = (bottleMsCm: number, tempC: number): number => {
  const at = standardAt(bottleMsCm, tempC);
  if (!at.ok) throw new Error(at.why);
  return at.value;
};

describe('EC at 25 C (ISO 7888 / EN 27888, natural water)', () => {
  test.each([
    [0, 1.918],
    [2, 1.8],
    [5, 1.643],
    [10, 1.428],
    [12, 1.354],
    [15, 1.256],
    [16, 1.225],
    [18, 1.168],
    [20, 1.116],
    [22, 1.067],
    [24, 1.021],
    [25, 1],
    [26, 0.979],
    [27, 0.959],
    [28, 0.94],
    [30, 0.903],
    [32, 0.869],
    [35, 0.822],
  ])('a reading at %d C counts %d times', (tempC, factor) => {
    expect(ecAt25C(1, tempC)).toBeCloseTo(factor, 9);
  });

  // From the standard's own tenths.
  test.each([
    [0.1, 1.912],
    [0.2, 1.906],
    [0.3, 1.899],
    [0.5, 1.887],
    [1.5, 1.829],
    [2.5, 1.772],
    [3.5, 1.719],
    [4.5, 1.668],
    [5.5, 1.619],
    [7.5, 1.529],
  ])('with tenths of a degree: at %d C, %d within 0.001', (tempC, factor) => {
    expect(Math.abs(ecAt25C(1, tempC) - factor)).toBeLessThanOrEqual(0.001);
  });

  test('2 %/K, the rule of thumb, agrees within 0.6 % from 10 to 28 C, and not near freezing', () => {
    const linear = (tempC: number): number => 1 / (1 + 0.02 * (tempC - 25));
    for (let tempC = 10; tempC <= 28; tempC++) {
      expect(Math.abs(ecAt25C(1, tempC) / linear(tempC) - 1)).toBeLessThan(0.006);
    }
    expect(linear(0) / ecAt25C(1, 0)).toBeCloseTo(1.043, 3);
  });

  test('warmer water that reads the same is weaker', () => {
    const tempC = fc.double({ min: F25_C.low, max: F25_C.high, noNaN: true });
    holds(
      fc.property(tempC, tempC, (one, other) => {
        const [cool, warm] = one < other ? [one, other] : [other, one];
        expect(ecAt25C(1, warm)).toBeLessThanOrEqual(ecAt25C(1, cool));
      }),
    );
  });

  test('outside 0 to 35 C there is no factor', () => {
    for (const tempC of [-0.1, 35.1, Number.NaN]) expect(ecAt25C(1, tempC)).toBeNaN();
  });
});

describe('a standard in its bottle (potassium chloride)', () => {
  // Table on the bottle of 12.88 mS/cm, two meter manuals; made by NIST's ratios.
  test.each([
    [0, 7.15],
    [5, 8.22],
    [10, 9.33],
    [15, 10.48],
    [18, 11.19],
    [20, 11.67],
    [25, 12.88],
    [30, 14.12],
    [35, 15.39],
  ])('of 12.88 mS/cm has at %d C %d', (tempC, value) => {
    expect(Math.abs(standard(12.88, tempC) / value - 1)).toBeLessThan(0.001);
  });

  // Bench meter manual S230 for 1413 uS/cm; its 35 C is wrong, and not here.
  test.each([
    [15, 1.147],
    [20, 1.278],
    [25, 1.413],
    [30, 1.552],
  ])('of 1413 uS/cm has at %d C %d mS/cm, within 0.3 %%', (tempC, value) => {
    expect(Math.abs(standard(1.413, tempC) / value - 1)).toBeLessThan(0.003);
  });

  test('of 84 uS/cm has 53.02 at 5 C, which is misprinted as 0 C', () => {
    expect(standard(0.084, 5)).toBeCloseTo(0.05302, 6);
    expect(standardAt(0.084, 0).ok).toBe(false);
  });

  test('is not brought to 25 C by the factor for natural water', () => {
    for (const [tempC, leastOut] of [
      [5, 0.02],
      [15, 0.005],
      [35, 0.008],
    ] as const) {
      const byWater = ecAt25C(standard(1.413, tempC), tempC);
      expect(Math.abs(byWater / 1.413 - 1)).toBeGreaterThan(leastOut);
    }
  });

  test('of another strength, and at other temperatures, has no curve here', () => {
    expect(standardAt(2.76, 25).ok).toBe(false);
    expect(standardAt(1.413, 45).ok).toBe(false);
    expect(standardAt(1.413, Number.NaN).ok).toBe(false);
  });

  test('tells a good meter from one to calibrate and one to mend', () => {
    expect(meterInBottle(1.43, 1.413).state).toBe('good');
    expect(meterInBottle(1.3, 1.413).state).toBe('calibrate');
    expect(meterInBottle(12.88, 1.413).state).toBe('mend');
  });
});
