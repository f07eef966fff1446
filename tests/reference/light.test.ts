import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  discFactor,
  HEIGHT_LIMITS,
  heightForRatio,
  type LampShape,
  lightRatio,
  panelFactor,
} from '../../shared/physics/lamp-height';
import {
  hoursForSum,
  LAMPS,
  type LampName,
  lightSumMol,
  luxOfPpfd,
  ppfdForSum,
  ppfdOfLux,
} from '../../shared/physics/light';
import { holds } from '../properties';

describe('the light of a day', () => {
  test.each([
    // A note on quantum meters, after Faust: 38.1 umol for 12 h are 1.6 mol.
    [38.1, 12, 1.6, 1],
    // A light meter maker's conversion: 1 umol for 24 h is 0.0864 mol.
    [1, 24, 0.0864, 6],
    [100, 16, 5.76, 9],
    [150, 18, 9.72, 9],
    [300, 12, 12.96, 9],
  ])('%d umol/m2/s for %d h is %d mol/m2', (ppfdUmol, hours, sumMol, digits) => {
    expect(lightSumMol(ppfdUmol, hours)).toBeCloseTo(sumMol, digits);
  });

  test('is had back: intensity from sum and hours, hours from sum and intensity', () => {
    const hours = fc.double({ min: 0.5, max: 24, noNaN: true });
    const ppfd = fc.double({ min: 0.5, max: 3000, noNaN: true });
    holds(
      fc.property(ppfd, hours, (ppfdUmol, h) => {
        // The last digit of a limit is no matter here.
        const sumMol = lightSumMol(ppfdUmol, h) * (1 - 1e-12);
        const back = ppfdForSum(sumMol, h);
        const long = hoursForSum(sumMol, ppfdUmol);
        expect(back.ok && back.value).toBeCloseTo(ppfdUmol, 6);
        expect(long.ok && long.value).toBeCloseTo(h, 6);
      }),
    );
  });

  test('of 12 mol/m2 takes 208 umol for 16 h, and cannot come of 100 umol at all', () => {
    const answer = ppfdForSum(12, 16);
    expect(answer.ok && answer.value).toBeCloseTo(208.33, 2);
    const never = hoursForSum(12, 100);
    expect(never.ok ? '' : never.why).toContain('only 8.6 mol/m2/d');
    expect(ppfdForSum(40, 2).ok).toBe(false);
  });
});

describe('what a lux meter says (Thimijan and Heins 1983, as in a meter maker’s tables)', () => {
  test.each<[LampName, number, number]>([
    ['sun', 100, 5_400],
    // The table prints 40,800 here: a slip for 10,800.
    ['sun', 200, 10_800],
    ['sun', 2000, 108_000],
    ['sodium', 300, 24_600],
    ['metal-halide', 600, 42_600],
    ['fluorescent', 1000, 74_000],
  ])('under %s %d umol/m2/s are %d lux', (name, ppfdUmol, lux) => {
    expect(luxOfPpfd(ppfdUmol, LAMPS[name])).toBe(lux);
    expect(ppfdOfLux(lux, LAMPS[name]).ppfdUmol).toBeCloseTo(ppfdUmol, 9);
  });

  test.each<[LampName, number]>([
    ['sun', 0.0185],
    ['fluorescent', 0.0135],
    ['sodium', 0.0122],
    ['metal-halide', 0.0141],
    ['ceramic-4200k', 0.0154],
    ['ceramic-3100k', 0.017],
  ])('a lux under %s is %d umol/m2/s', (name, ppfdUmol) => {
    expect(Math.abs(ppfdOfLux(1, LAMPS[name]).ppfdUmol / ppfdUmol - 1)).toBeLessThan(0.01);
  });
});

const POINT: LampShape = { kind: 'point' };
const PANEL: LampShape = { kind: 'panel', lengthM: 0.6, widthM: 0.6 };

describe('a small lamp', () => {
  test.each([
    // BCcampus, Lighting for electricians: 100 lux at 1 m.
    [1, 2, 25 / 100],
    [1, 3, 11.1 / 100],
    // A technical college: 40 lux at 0.5 m, 10 at 1 m.
    [0.5, 1, 10 / 40],
    // A stage lighting primer: 100 fc at 25 ft, 25 at 50 ft.
    [25 * 0.3048, 50 * 0.3048, 25 / 100],
    // A lamp physics page: 100 cd give 11 lux at 3 m, 25 at 2 m.
    [2, 3, 11.1 / 25],
  ])('at %d m and at %d m gives light as 1 to %d', (fromM, toM, ratio) => {
    expect(lightRatio(POINT, fromM, toM)).toBeCloseTo(ratio, 3);
  });
});

describe('a panel', () => {
  test('keeps to the square of the distance within 1 % from five times its longest measure on (IES)', () => {
    const disc: LampShape = { kind: 'disc', diameterM: 0.6 };
    for (const [shape, longestM] of [
      [PANEL, 0.6 * Math.SQRT2],
      [disc, 0.6],
    ] as const) {
      for (const times of [5, 7, 10]) {
        const heightM = times * longestM;
        const far = lightRatio(shape, 20, heightM) / lightRatio(POINT, 20, heightM);
        expect(Math.abs(far - 1)).toBeLessThan(0.01);
      }
    }
    // Only just: at four times the error of a disc is 1.5 %.
    expect(lightRatio(disc, 20, 2.4) / lightRatio(POINT, 20, 2.4)).toBeLessThan(0.99);
  });

  test('of a square, half its side away, gives 2 √2 / π atan(1 / √2) of what it has', () => {
    // The factor of a corner of a square as far away as its side, (1 / 2π) (2 / √2) atan(1 / √2) = 0.1385, four times.
    const corner = (Math.SQRT2 * Math.atan(Math.SQRT1_2)) / (2 * Math.PI);
    expect(corner).toBeCloseTo(0.1385, 4);
    expect(panelFactor(2, 2, 1)).toBeCloseTo(4 * corner, 12);
  });

  /** Lambert's law added up over small squares of the panel: each gives h2 / (π d4) of its area under its middle. */
  function addedUp(lengthM: number, widthM: number, heightM: number): number {
    const PARTS = 200;
    let sum = 0;
    for (let i = 0; i < PARTS; i++) {
      for (let j = 0; j < PARTS; j++) {
        const x = ((i + 0.5) / PARTS - 0.5) * lengthM;
        const y = ((j + 0.5) / PARTS - 0.5) * widthM;
        sum += heightM ** 2 / (Math.PI * (x * x + y * y + heightM ** 2) ** 2);
      }
    }
    return (sum * lengthM * widthM) / PARTS ** 2;
  }

  test.each([
    [0.6, 0.6, 0.3],
    [1.2, 0.3, 0.2],
    [0.6, 0.6, 3],
    [2, 1, 0.25],
  ])(
    'of %d x %d m at %d m gives what its small parts give together',
    (lengthM, widthM, heightM) => {
      const parts = addedUp(lengthM, widthM, heightM);
      expect(panelFactor(lengthM, widthM, heightM) / parts).toBeCloseTo(1, 4);
    },
  );

  test('seen as a disc of its area gives nearly the same, and a strip less', () => {
    for (const heightM of [0.1, 0.3, 0.6, 1.2]) {
      const disc = discFactor(0.6 * Math.sqrt(4 / Math.PI), heightM);
      expect(Math.abs(panelFactor(0.6, 0.6, heightM) / disc - 1)).toBeLessThan(0.02);
      expect(panelFactor(1.2, 0.3, heightM)).toBeLessThan(panelFactor(0.6, 0.6, heightM));
    }
  });

  test('against the leaves gives all it has and no more', () => {
    expect(panelFactor(0.6, 0.6, 1e-6)).toBeCloseTo(1, 4);
    expect(discFactor(0.6, 1e-6)).toBeCloseTo(1, 4);
    // A quarter of its side away: nothing like four times the light at half its side.
    expect(lightRatio(PANEL, 0.3, 0.15)).toBeLessThan(1.5);
  });
});

describe('the height for so much light', () => {
  const height = fc.double({ min: 0.1, max: 5, noNaN: true });
  const side = fc.double({ min: 0.05, max: 2, noNaN: true });
  const shape = fc.oneof(
    fc.constant<LampShape>(POINT),
    fc.record({ kind: fc.constant('disc' as const), diameterM: side }),
    fc.record({ kind: fc.constant('panel' as const), lengthM: side, widthM: side }),
  );

  test('gives that light, and more light is always nearer', () => {
    holds(
      fc.property(shape, height, height, (lamp, fromM, toM) => {
        const ratio = lightRatio(lamp, fromM, toM);
        const answer = heightForRatio(lamp, fromM, ratio);
        expect(answer.ok && lightRatio(lamp, fromM, answer.value) / ratio).toBeCloseTo(1, 3);
        expect(lightRatio(lamp, fromM, toM * 1.01)).toBeLessThan(ratio);
      }),
    );
  });

  test('of twice the lamp is 1.41 times as high where the lamp is small', () => {
    const answer = heightForRatio(POINT, 0.4, 1 / 2);
    expect(answer.ok && answer.value).toBeCloseTo(0.4 * Math.SQRT2, 4);
  });

  test('is refused where no height gives it', () => {
    const near = heightForRatio(PANEL, 0.3, 3);
    expect(near.ok ? '' : near.why).toContain('no more than 1.8 times');
    const far = heightForRatio(POINT, 1, 1 / (HEIGHT_LIMITS.mostM + 1) ** 2);
    expect(far.ok ? '' : far.why).toContain('higher than 20 m');
  });
});
