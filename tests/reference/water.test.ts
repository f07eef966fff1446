import { describe, expect, test } from 'vitest';
import {
  airDensityKgM3,
  gFromMl,
  mlFromG,
  trueWaterG,
  waterDensityKgM3,
  zFactorMlPerG,
} from '../../shared/physics/water';

/** Kell 1975 as reprinted by Jones and Harris 1992, J. Res. NIST 97:335; `k` is the denominator's. */
function kellKgM3(t: number, k: number): number {
  const top =
    999.83952 +
    t *
      (16.945176 +
        t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
  return top / (1 + k * t);
}

describe('water density (Tanaka et al. 2001, Metrologia 38:301)', () => {
  test.each([
    [10, 999.703],
    [12, 999.5],
    [15, 999.103],
    [18, 998.598],
    [20, 998.207],
    [22, 997.773],
    [24, 997.299],
    [25, 997.047],
    [26, 996.786],
    [28, 996.235],
    [30, 995.649],
    [32, 995.027],
    [35, 994.033],
  ])('at %d C: %d kg/m3', (tempC, density) => {
    expect(Math.abs(waterDensityKgM3(tempC) - density)).toBeLessThan(0.001);
    expect(mlFromG(1, tempC)).toBeCloseTo(1000 / density, 5);
  });

  test('agrees within 0.02 kg/m3 with Jones and Harris 1992 (J. Res. NIST 97:335, air-saturated)', () => {
    for (const t of [10, 15, 20, 25, 30, 35]) {
      const theirs =
        999.85308 +
        6.32693e-2 * t -
        8.523829e-3 * t ** 2 +
        6.943248e-5 * t ** 3 -
        3.821216e-7 * t ** 4;
      expect(Math.abs(waterDensityKgM3(t) - theirs)).toBeLessThan(0.02);
    }
  });

  test('agrees with Kell 1975, but not with its misprint in one web edition', () => {
    for (const t of [10, 20, 25, 30]) {
      expect(Math.abs(waterDensityKgM3(t) - kellKgM3(t, 16.87985e-3))).toBeLessThan(0.02);
    }
    expect(kellKgM3(20, 16.89785e-3)).toBeCloseTo(997.936, 2);
    expect(Math.abs(waterDensityKgM3(20) - kellKgM3(20, 16.89785e-3))).toBeGreaterThan(0.2);
  });

  test('one gram is not one millilitre: 0.18 % at 20 C, 0.44 % at 30 C', () => {
    expect(mlFromG(1000, 20)).toBeCloseTo(1001.8, 1);
    expect(mlFromG(1000, 30)).toBeCloseTo(1004.37, 1);
    expect(gFromMl(mlFromG(609.6, 20), 20)).toBeCloseTo(609.6, 9);
  });
});

describe('weighing water in air', () => {
  test('buoyancy adds 0.105 % at 20 C (OIML R 111: steel of 8000 kg/m3)', () => {
    expect(trueWaterG(1, 20, 1.2)).toBeCloseTo(1.00105, 5);
  });

  test('air at 20 C, 1013.25 hPa and half saturated is 1.199 kg/m3 (OIML R 111-1 annex E)', () => {
    expect(airDensityKgM3(20)).toBeCloseTo(1.199, 3);
  });

  // The pipette manuals print 1.0038 at 24 C; density and buoyancy give 1.0037. Within the tolerance.
  test.each([
    [15, 1.002],
    [20, 1.0029],
    [20.5, 1.003],
    [21, 1.0031],
    [21.5, 1.0032],
    [22, 1.0033],
    [22.5, 1.0034],
    [23, 1.0035],
    [23.5, 1.0036],
    [24, 1.0038],
    [24.5, 1.0039],
    [25, 1.004],
    [30, 1.0054],
  ])(
    'Z factor at %d C and 101.3 kPa: %d ml/g (ISO 8655-6, as printed in pipette manuals)',
    (tempC, z) => {
      expect(Math.abs(zFactorMlPerG(tempC, airDensityKgM3(tempC)) - z)).toBeLessThan(1e-4);
    },
  );

  test('weather and altitude hardly matter: 95 to 107 kPa changes Z by at most 1e-4', () => {
    const low = zFactorMlPerG(22, airDensityKgM3(22, 950));
    const high = zFactorMlPerG(22, airDensityKgM3(22, 1070));
    expect(high - low).toBeGreaterThan(0);
    expect(high - low).toBeLessThan(1.3e-4);
  });
});
