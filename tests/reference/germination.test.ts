import { describe, expect, test } from 'vitest';
import {
  daysToEmergence,
  daysToEmergenceVarying,
  EMERGENCE_CROPS,
  type EmergenceCrop,
  normalSeedlingShare,
} from '../../shared/physics/emergence';
import {
  GERMINATION,
  germinationWindow,
  judgeGerminationBand,
} from '../../shared/physics/germination';
import { PROFILE_LIMITS } from '../../shared/profile/limits';

const judge = (crop: string, lowC: number, highC: number): string => {
  const verdict = judgeGerminationBand(crop, { lowC, highC });
  return verdict.ok ? (verdict.value.advice ?? 'good') : `refused: ${verdict.why}`;
};

describe('germination windows (California Master Gardener Handbook; Mid-Atlantic recommendations)', () => {
  test.each([
    ['tomato', 24, 27],
    ['pepper', 27, 29],
    ['cucumber', 24, 27],
    ['lettuce', 18, 20],
    ['cabbage', 18, 22],
    ['onion', 20, 24],
    ['eggplant', 27, 29],
    ['basil', 24, 26],
  ])('%s does well at %d to %d C', (crop, lowC, highC) => {
    expect(judge(crop, lowC, highC)).toBe('good');
  });

  test.each(Object.entries(GERMINATION))(
    '%s is refused outside its limits and allowed at them',
    (crop, window) => {
      expect(judge(crop, window.minC, window.minC + 1)).not.toMatch(/refused/);
      expect(judge(crop, window.maxC - 1, window.maxC)).not.toMatch(/refused/);
      expect(judge(crop, window.minC - 0.1, window.minC + 1)).toMatch(/refused: .* too cold/);
      expect(judge(crop, window.maxC - 1, window.maxC + 0.1)).toMatch(/refused: .* too warm/);
    },
  );

  test('lettuce above 29 C is refused: 12 % come up at 30 C (Harrington and Minges 1954)', () => {
    expect(judge('lettuce', 28, 30)).toMatch(/refused: .*too warm.*12 % normal seedlings/);
    expect(judge('Lettuce', 24, 26)).toMatch(/warmer than/);
  });

  test('pepper: one handbook says best at 18 to 24 C, the trials say 25 to 30 C; the trials count', () => {
    expect(judge('pepper', 18.3, 23.9)).toMatch(/colder than/);
    expect(judge('pepper', 26.7, 32.2)).toBe('good');
    expect(normalSeedlingShare('pepper', 30)).toBeGreaterThan(0.9);
    const [cool, warm] = [daysToEmergence('pepper', 20), daysToEmergence('pepper', 27.5)];
    expect(cool.ok && warm.ok && cool.value - warm.value).toBeGreaterThan(4);
  });

  test('a crop not in the table is neither refused nor advised, whatever its name', () => {
    for (const crop of ['fern', 'constructor', '__proto__', '']) {
      expect(germinationWindow(crop)).toBeNull();
      expect(judge(crop, 30, 34)).toBe('good');
    }
  });

  test('no profile may go where no crop in the table does better', () => {
    for (const window of Object.values(GERMINATION)) {
      expect(window.bestHighC).toBeLessThanOrEqual(PROFILE_LIMITS.bandHighMaxC);
      expect(window.minC < window.bestLowC && window.bestLowC < window.bestHighC).toBe(true);
      expect(window.bestHighC).toBeLessThanOrEqual(window.maxC);
    }
  });
});

describe('days to emergence (Harrington and Minges 1954, in Knott’s Handbook)', () => {
  const days = (crop: EmergenceCrop, soilC: number): number | string => {
    const verdict = daysToEmergence(crop, soilC);
    return verdict.ok ? verdict.value : verdict.why;
  };

  test.each<[EmergenceCrop, number, number]>([
    ['tomato', 10, 43],
    ['tomato', 20, 8],
    ['tomato', 35, 9],
    ['pepper', 15, 25],
    ['pepper', 25, 8],
    ['cucumber', 30, 3],
    ['eggplant', 25, 8],
    ['lettuce', 0, 49],
    ['lettuce', 20, 3],
    ['cabbage', 15, 9],
    ['onion', 5, 31],
  ])('%s at %d C: %d d, as tabled', (crop, soilC, expected) => {
    expect(days(crop, soilC)).toBeCloseTo(expected, 9);
  });

  test.each<[EmergenceCrop, number, number]>([
    ['tomato', 22, 7.06],
    ['pepper', 27, 8],
    ['cucumber', 22, 5],
    ['lettuce', 18, 3.33],
  ])('%s at %d C: %d d, by the rate between the trials', (crop, soilC, expected) => {
    expect(days(crop, soilC)).toBeCloseTo(expected, 2);
  });

  test('tomato with 12 h at 25 C and 12 h at 18 C comes up in 7.4 d', () => {
    const verdict = daysToEmergenceVarying('tomato', [
      { hours: 12, soilC: 25 },
      { hours: 12, soilC: 18 },
    ]);
    expect(verdict.ok && verdict.value).toBeCloseTo(7.4, 1);
  });

  test('a cold night only delays; nights and days both too cold never bring it up', () => {
    const night = { hours: 12, soilC: 5 };
    const mixed = daysToEmergenceVarying('tomato', [{ hours: 12, soilC: 25 }, night]);
    expect(mixed.ok && mixed.value).toBeCloseTo(12, 9);
    expect(daysToEmergenceVarying('tomato', [night]).ok).toBe(false);
    expect(daysToEmergenceVarying('tomato', []).ok).toBe(false);
  });

  test.each<[EmergenceCrop, number]>([
    ['tomato', 5],
    ['tomato', 40],
    ['pepper', 10],
    ['lettuce', 35],
    ['lettuce', 32],
  ])('%s at %d C will not come up, and that is said', (crop, soilC) => {
    expect(days(crop, soilC)).toMatch(/will not come up/);
  });

  test('what was not tried is not made up', () => {
    expect(days('eggplant', 15)).toMatch(/not in the trials/);
    expect(days('cabbage', 35)).toMatch(/not in the trials/);
    for (const crop of EMERGENCE_CROPS) {
      for (const soilC of [-1, 41, Number.NaN])
        expect(days(crop, soilC)).toMatch(/not in the trials/);
    }
  });

  test('lettuce at 30 C is quick but only 12 % come up: days alone would mislead', () => {
    expect(days('lettuce', 30)).toBeCloseTo(3, 9);
    expect(normalSeedlingShare('lettuce', 30)).toBeCloseTo(0.12, 9);
  });

  test('cabbage at 20 and 30 C is "not recorded", which some copies print as 0 %', () => {
    expect(normalSeedlingShare('cabbage', 20)).toBeNull();
    expect(normalSeedlingShare('cabbage', 30)).toBeNull();
    expect(days('cabbage', 20)).toBeCloseTo(6, 9);
    expect(normalSeedlingShare('cabbage', 25)).toBeCloseTo(0.99, 9);
  });
});
