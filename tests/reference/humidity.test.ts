import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  deficitKpa,
  dewPointC,
  LID_STEPS,
  lidStepFor,
  pressureKpa,
  vapourOfWetBulb,
  WET_BULB_AIR,
} from '../../shared/physics/humidity';
import { saturationKpa, wetBulbC } from '../../shared/physics/vapour';
import { holds } from '../properties';

const inC = (f: number): number => (f - 32) / 1.8;

/** Vapour pressure by a wet bulb that can be. */
function vapour(...given: Parameters<typeof vapourOfWetBulb>): number {
  const answer = vapourOfWetBulb(...given);
  if (!answer.ok) throw new Error(answer.why);
  return answer.value;
}

describe('air (FAO Irrigation and Drainage Paper 56)', () => {
  test('at 1800 m presses with 81.8 kPa (example 2), at 1200 m with 87.9 (example 4)', () => {
    expect(pressureKpa(1800)).toBeCloseTo(81.8, 1);
    expect(pressureKpa(1200)).toBeCloseTo(87.9, 1);
  });

  test('of 25.6 C with an aspirated wet bulb of 19.5 C at 1200 m holds 1.91 kPa (example 4)', () => {
    expect(vapour(25.6, 19.5, 1200, 'fan')).toBeCloseTo(1.91, 2);
  });

  test('of 18 to 25 C and 82 to 54 % lacks 0.91 kPa (examples 5 and 6)', () => {
    const vapourKpa = (saturationKpa(18) * 0.82 + saturationKpa(25) * 0.54) / 2;
    expect(vapourKpa).toBeCloseTo(1.7, 2);
    const deficit = (deficitKpa(18, vapourKpa) + deficitKpa(25, vapourKpa)) / 2;
    expect(deficit).toBeCloseTo(0.91, 2);
  });
});

describe('wet bulbs', () => {
  test('of 15 C at 21.5 C mean 50 % (exam problem)', () => {
    expect(vapour(21.5, 15, 0, 'fan') / saturationKpa(21.5)).toBeCloseTo(0.5, 1);
  });

  test('of 25 C at 30 C mean 67 %, not the 74.6 % that the two saturations give (a misprint)', () => {
    expect(vapour(30, 25, 0, 'fan') / saturationKpa(30)).toBeCloseTo(0.668, 2);
  });

  test('at 20 C and 50 % stand at 13.8 C, near the 13.7 of Stull 2011 (J. Appl. Meteorol. Climatol. 50:2267)', () => {
    const wetC = wetBulbC(20, saturationKpa(20) * 0.5);
    expect(Math.abs(wetC - 13.7)).toBeLessThan(0.2);
    expect(vapour(20, wetC, 0, 'fan') / saturationKpa(20)).toBeCloseTo(0.5, 2);
  });

  test('a fan tells of more vapour than still air with the same readings, and height of more', () => {
    const [fan = 0, draught = 0, still = 0] = WET_BULB_AIR.map((air) => vapour(25, 20, 0, air));
    expect(fan).toBeGreaterThan(draught);
    expect(draught).toBeGreaterThan(still);
    expect(vapour(25, 20, 2000, 'fan')).toBeGreaterThan(fan);
  });

  test('that cannot be are refused', () => {
    const warm = vapourOfWetBulb(20, 21, 0, 'fan');
    expect(warm.ok ? '' : warm.why).toContain('warmer than the dry one');
    const cold = vapourOfWetBulb(30, 8, 0, 'fan');
    expect(cold.ok ? '' : cold.why).toContain('bone-dry');
  });
});

describe('vapour pressure deficit', () => {
  test.each([
    [20, 0.95, 0.117],
    [24, 0.9, 0.298],
    [25, 0.85, 0.475],
    [24, 0.8, 0.597],
    [25, 0.5, 1.584],
    [30, 0.6, 1.697],
  ])('of air of %d C and %d is %d kPa (by another program)', (airC, share, kPa) => {
    expect(Math.abs(deficitKpa(airC, saturationKpa(airC) * share) - kPa)).toBeLessThan(0.003);
  });

  test('of a leaf of 24 C in air of 26 C and 60 % is 0.967 kPa, that of the air 1.345 (growers’ article)', () => {
    const vapourKpa = saturationKpa(26) * 0.6;
    expect(deficitKpa(26, vapourKpa)).toBeCloseTo(1.345, 3);
    expect(deficitKpa(24, vapourKpa)).toBeCloseTo(0.967, 3);
  });

  test('of a leaf 2 K below air of 24 C and 90 % is none: it is wet with dew', () => {
    expect(deficitKpa(22, saturationKpa(24) * 0.9)).toBeLessThan(0);
  });
});

describe('the dew point', () => {
  test.each([
    [25, 0.5, 13.86],
    [25, 0.8, 21.31],
    [20, 0.9, 18.31],
    [30, 0.6, 21.38],
    // Chart of a radiant heating manual: 68 F and 40 % give 42.8 F.
    [inC(68), 0.4, inC(42.8)],
    // Magnus with 17.625 and 243.04: 73.11 F and 90 % give 70 F.
    [inC(73.11), 0.9, inC(70)],
  ])('of air of %d C and %d is %d C', (airC, share, dewC) => {
    expect(Math.abs(dewPointC(saturationKpa(airC) * share) - dewC)).toBeLessThan(0.03);
  });

  test('is where that vapour saturates, never above the air, and rises with humidity', () => {
    const air = fc.double({ min: 0, max: 50, noNaN: true });
    const share = fc.double({ min: 0.01, max: 0.99, noNaN: true });
    holds(
      fc.property(air, share, (airC, humidity) => {
        const vapourKpa = saturationKpa(airC) * humidity;
        const dewC = dewPointC(vapourKpa);
        expect(saturationKpa(dewC)).toBeCloseTo(vapourKpa, 9);
        expect(dewC).toBeLessThan(airC);
        expect(dewPointC(vapourKpa * 1.005)).toBeGreaterThan(dewC);
        expect(deficitKpa(airC, vapourKpa)).toBeGreaterThan(0);
      }),
    );
  });
});

describe('the lid', () => {
  test('opens step by step as the air round the leaves dries, without a gap', () => {
    expect(lidStepFor(-0.1)?.lids).toEqual(['closed']);
    expect(lidStepFor(0.4)?.lids).toEqual(['vents-open']);
    expect(lidStepFor(0.6)?.lids).toContain('propped');
    expect(lidStepFor(1)?.lids).toContain('off');
    expect(lidStepFor(1.5)).toBeNull();
    LID_STEPS.slice(1).forEach((step, i) => {
      expect(step.lowKpa).toBe(LID_STEPS[i]?.highKpa);
    });
  });
});
