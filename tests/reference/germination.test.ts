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

  // Degrees F of both tables, in Celsius; lettuce from the trials (12 % at 30 C), basil see there.
  test.each([
    ['tomato', 10, 35],
    ['pepper', 15.6, 35],
    ['cucumber', 15.6, 40.6],
    ['eggplant', 15.6, 35],
    ['lettuce', 1.7, 29],
    ['cabbage', 4.4, 35],
    ['onion', 1.7, 35],
    ['basil', 10, 35],
  ])('%s germinates between %d and %d C, as tabled', (crop, minC, maxC) => {
    expect(germinationWindow(crop)?.minC).toBe(minC);
    expect(germinationWindow(crop)?.maxC).toBe(maxC);
  });

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

  /** Rows as printed, 0 to 40 C by 5: days (NG none came up, - not tested) and per cent. */
  const PRINTED: Record<EmergenceCrop, readonly [days: string, percent: string]> = {
    tomato: ['NG NG 43 14 8 6 6 9 NG', '0 0 82 98 98 97 83 46 0'],
    pepper: ['NG NG NG 25 13 8 8 9 NG', '0 0 1 70 96 98 95 70 0'],
    cucumber: ['NG NG NG 13 6 4 3 3 -', '0 0 0 95 99 99 99 99 49'],
    eggplant: ['- - - - 13 8 5 - -', '0 0 0 0 21 53 60 0 0'],
    lettuce: ['49 15 7 4 3 2 3 NG NG', '98 98 98 99 99 99 12 0 0'],
    cabbage: ['- - 15 9 6 5 4 - -', '0 27 78 93 - 99 - 0 0'],
    onion: ['136 31 13 7 5 4 4 13 NG', '90 98 98 98 99 97 91 73 2'],
  };

  test.each(Object.entries(PRINTED))('%s: every cell as printed', (crop, [dayCells, cells]) => {
    const name = EMERGENCE_CROPS.find((one) => one === crop);
    if (name === undefined) throw new Error('no such crop');
    dayCells.split(' ').forEach((cell, column) => {
      const expected = { NG: /will not come up/, '-': /not in the trials/ }[cell];
      if (expected === undefined) expect(days(name, column * 5)).toBeCloseTo(Number(cell), 9);
      else expect(days(name, column * 5)).toMatch(expected);
    });
    cells.split(' ').forEach((cell, column) => {
      const share = normalSeedlingShare(name, column * 5);
      if (cell === '-') expect(share).toBeNull();
      else expect(share).toBeCloseTo(Number(cell) / 100, 9);
    });
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
