import { describe, expect, test } from 'vitest';
import {
  PSYCHROMETER_KPA_K,
  saturationKpa,
  saturationSlope,
  vapourGPerM3Kpa,
  wetBulbC,
} from '../../shared/physics/vapour';

describe('water vapour in air (FAO Irrigation and Drainage Paper 56)', () => {
  // 15 and 24.5 C from example 3; the rest of table 2.3 from memory.
  test.each([
    [5, 0.872],
    [10, 1.228],
    [15, 1.705],
    [18, 2.064],
    [20, 2.338],
    [24.5, 3.075],
    [25, 3.168],
    [30, 4.243],
    [40, 7.376],
  ])('saturated air at %d C holds %d kPa', (airC, kPa) => {
    expect(Math.abs(saturationKpa(airC) - kPa)).toBeLessThan(0.002);
  });

  // Example 17: 0.246 at 30.2 C; table 2.4 from memory.
  test.each([
    [20, 0.145],
    [25, 0.189],
    [30.2, 0.246],
  ])('the curve at %d C rises by %d kPa/K', (airC, slope) => {
    expect(Math.abs(saturationSlope(airC) - slope)).toBeLessThan(0.0006);
  });

  test('the psychrometric constant is that of 100 m above the sea: 0.666 hPa/K', () => {
    // Equation 8 with the pressure of equation 7 at 100 m, 100.1 kPa (example 18).
    expect(PSYCHROMETER_KPA_K).toBeCloseTo(0.000665 * 100.1, 4);
  });

  test('25 C and 50 % is 1.584 kPa short of saturation, and wet things in it cool to 17.9 C', () => {
    expect(saturationKpa(25) * 0.5).toBeCloseTo(1.584, 3);
    // Psychrometric chart, from memory.
    expect(wetBulbC(25, saturationKpa(25) * 0.5)).toBeCloseTo(17.9, 0);
    expect(wetBulbC(25, saturationKpa(25))).toBeCloseTo(25, 3);
  });

  test('a cubic metre of saturated air at 20 C carries 17.3 g (from memory)', () => {
    expect(vapourGPerM3Kpa(20) * saturationKpa(20)).toBeCloseTo(17.3, 1);
  });
});
