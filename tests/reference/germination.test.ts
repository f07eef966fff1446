import { describe, expect, test } from 'vitest';
import type { Crop } from '../../shared/crops/library/crop';
import { emergence, normalShareIn, progressPerDay } from '../../shared/crops/library/emergence';
import { cropNamed, cropOrNull, crops } from '../../shared/crops/library/library';
import { thermalTimeOf } from '../../shared/physics/thermal-time';
import { judgeGerminationBand } from '../../shared/profile/host/germination-band';
import { PROFILE_LIMITS } from '../../shared/profile/limits';

function crop(name: string): Crop {
  const found = cropNamed(name);
  if (!found.ok) throw new Error(found.why);
  return found.value;
}

const judge = (name: string, lowC: number, highC: number): string => {
  const verdict = judgeGerminationBand(crop(name), { lowC, highC });
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
  ])('%s does well at %d to %d C', (name, lowC, highC) => {
    expect(judge(name, lowC, highC)).toBe('good');
  });

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
  ])('%s germinates between %d and %d C, as tabled', (name, minC, maxC) => {
    const [first] = crop(name).temperatures;
    expect(first?.minC).toBeCloseTo(minC, 1);
    expect(first?.maxC).toBeCloseTo(maxC, 1);
  });

  test.each([
    ['pepper', 15.6, 35],
    ['eggplant', 15.6, 35],
    ['lettuce', 1.7, 29],
    ['cabbage', 4.4, 35],
    ['onion', 1.7, 35],
  ])('%s is refused outside %d to %d C and allowed at them', (name, minC, maxC) => {
    expect(judge(name, minC, minC + 1)).not.toMatch(/refused/);
    expect(judge(name, maxC - 1, maxC)).not.toMatch(/refused/);
    expect(judge(name, minC - 0.1, minC + 1)).toMatch(/refused: .* too cold/);
    expect(judge(name, maxC - 1, maxC + 0.1)).toMatch(/refused: .* too warm/);
  });

  test('lettuce above 29 C is refused: 12 % come up at 30 C (Harrington and Minges 1954)', () => {
    expect(judge('lettuce', 28, 30)).toMatch(/refused: .*too warm.*Harrington and Minges 1954/);
    expect(judge('Lettuce', 24, 26)).toMatch(/warmer than/);
  });

  test('pepper: one handbook says best at 18 to 24 C, the trials say 25 to 30 C; the trials count', () => {
    expect(judge('pepper', 18.3, 23.9)).toMatch(/colder than/);
    expect(judge('pepper', 26.7, 32.2)).toBe('good');
    expect(share('pepper', 30)).toBeGreaterThan(0.9);
    expect(Number(days('pepper', 20)) - Number(days('pepper', 27.5))).toBeGreaterThan(4);
  });

  test.each([
    ['carrot', 39, 40],
    ['spinach', 34, 35],
    ['celery', 28, 30],
    ['okra', 9, 11],
    ['bean', 9, 12],
    ['pepper', 10, 12],
  ])('%s at %d to %d C is refused by the trial in which none came up', (name, lowC, highC) => {
    expect(judge(name, lowC, highC)).toMatch(
      /refused: At .* °C \(.* °F\) no .* seed comes up \(Harrington/,
    );
  });

  test('a crop that is not in the library is none, whatever its name', () => {
    for (const name of ['fern', 'constructor', '__proto__', '']) {
      expect(cropOrNull(name)).toBeNull();
    }
  });

  test('no profile may go where no crop of the library does better', () => {
    for (const { temperatures } of crops()) {
      for (const { bestLowC } of temperatures) {
        expect(bestLowC).toBeLessThanOrEqual(PROFILE_LIMITS.bandHighMaxC);
      }
    }
  });
});

/** By the trials alone: days, or why not. */
function days(name: string, soilC: number): number | string {
  const [trials] = crop(name).trials;
  const perDay = trials === undefined ? null : progressPerDay(trials.rows, soilC);
  if (perDay !== null) return 1 / perDay;
  const verdict = emergence(crop(name), soilC);
  return verdict.ok ? 'by others only' : verdict.why;
}

const share = (name: string, soilC: number): number | null =>
  normalShareIn(crop(name).trials[0]?.rows ?? [], soilC);

/**
 * As printed, 0 to 40 C by 5. Days: the 1997 edition of Knott's Handbook; per cent: the table of normal seedlings of the
 * same leaflet. `NG` none came up, `-` not tested or not recorded: the per cent table prints 0 there. `x`: the prints
 * differ, or contradict themselves; such cells are in no file.
 */
const LEAFLET = `
beet         - 42 17 10 6 5 5 5 -          | - 53 72 88 90 97 89 35 -
cabbage      - - 15 9 6 5 4 - -            | - 27 78 93 - 99 - - -
carrot       NG 51 17 10 7 6 6 9 NG        | 0 48 93 95 96 96 95 74 0
cauliflower  - - 20 10 6 5 5 - -           | - - 58 60 - 63 45 - -
celery       NG 41 16 12 7 x NG NG -       | 0 72 70 40 97 x 0 0 -
cucumber     NG NG NG 13 6 4 3 3 -         | 0 0 0 95 99 99 99 99 49
eggplant     - - - - 13 8 5 - -            | - - - - 21 53 60 - -
lettuce      49 15 7 4 3 2 3 NG NG         | 98 98 98 99 99 99 12 0 0
muskmelon    - - - - 8 4 3 - -             | - - - - 38 94 90 - -
okra         NG NG NG 27 17 13 7 6 7       | 0 0 0 74 89 92 88 85 35
onion        136 31 13 7 5 4 4 13 NG       | 90 98 98 98 99 97 91 73 2
parsley      - - 29 17 14 13 12 - -        | - - 63 - 69 64 50 - -
parsnip      172 57 27 19 14 15 32 NG NG   | 82 87 79 85 89 77 51 1 0
pea          - 36 14 9 8 6 6 - -           | - 89 94 93 93 94 86 - -
pepper       NG NG NG 25 13 8 8 9 NG       | 0 0 1 70 96 98 95 70 0
radish       NG 29 11 6 4 4 3 - -          | 0 42 76 97 95 97 95 - -
bean         NG NG NG 16 11 8 6 x NG       | 0 0 1 97 90 97 47 x 0
spinach      63 23 12 7 6 5 6 NG NG        | 83 96 91 82 52 28 32 0 0
tomato       NG NG 43 14 8 6 6 9 NG        | 0 0 82 98 98 97 83 46 0
watermelon   - NG - - 12 5 4 3 -           | - 0 - 17 94 90 92 96 -
`;

const ROWS = LEAFLET.trim()
  .split('\n')
  .map((line): [string, string[], string[]] => {
    const [head = '', percent = ''] = line.split('|');
    const [name = '', ...dayCells] = head.trim().split(/\s+/);
    return [name, dayCells, percent.trim().split(/\s+/)];
  });

describe('days to emergence and normal seedlings (Harrington and Minges 1954, in Knott’s Handbook)', () => {
  test.each(ROWS)('%s: every cell as printed', (name, dayCells, percentCells) => {
    expect(crop(name).trials[0]?.source).toBe('Harrington and Minges 1954');
    const rowAt = (atC: number) => crop(name).trials[0]?.rows.find((row) => row.atC.low === atC);
    dayCells.forEach((cell, column) => {
      const found = rowAt(column * 5)?.days ?? null;
      if (cell === 'NG') expect(found).toBe('never');
      else if (cell === '-' || cell === 'x') expect(found, `${column * 5} C`).toBeNull();
      else expect(found).toEqual({ low: Number(cell), high: Number(cell) });
    });
    percentCells.forEach((cell, column) => {
      const found = rowAt(column * 5)?.normalShare ?? null;
      if (cell === '-' || cell === 'x') expect(found, `${column * 5} C`).toBeNull();
      else expect(found).toBeCloseTo(Number(cell) / 100, 9);
    });
  });

  test('every crop that cites it is among them', () => {
    const cited = crops().filter(({ trials }) =>
      trials.some(({ source }) => source === 'Harrington and Minges 1954'),
    );
    expect(cited.map(({ name }) => name).sort()).toEqual(ROWS.map(([name]) => name).sort());
  });

  test.each<[string, number, number]>([
    ['tomato', 22, 7.06],
    ['pepper', 27, 8],
    ['cucumber', 22, 5],
    ['lettuce', 18, 3.33],
  ])('%s at %d C: %d d, by the rate between the trials', (name, soilC, expected) => {
    expect(days(name, soilC)).toBeCloseTo(expected, 2);
  });

  test.each<[string, number]>([
    ['tomato', 5],
    ['tomato', 40],
    ['pepper', 10],
    ['lettuce', 35],
  ])('%s at %d C does not come up, and that is said', (name, soilC) => {
    expect(days(name, soilC)).toMatch(/no .* seed comes up/);
  });

  test('what was not tried is not made up', () => {
    expect(days('eggplant', 15)).toMatch(/not in the trials/);
    expect(days('cabbage', 35)).toMatch(/not in the trials/);
    // Between 30 C, where some came up, and 35, where none did.
    expect(days('lettuce', 32)).toMatch(/not in the trials/);
    for (const name of ['eggplant', 'beet', 'onion']) {
      for (const soilC of [-1, Number.NaN]) expect(days(name, soilC)).toMatch(/not in the trials/);
    }
  });

  test('lettuce at 30 C is quick but only 12 % come up: days alone would mislead', () => {
    expect(days('lettuce', 30)).toBeCloseTo(3, 9);
    expect(share('lettuce', 30)).toBeCloseTo(0.12, 9);
  });
});

describe('thermal time, fitted to those days by least squares of 1/days', () => {
  // Worked out from the same rows apart from this program: base C, degree-days, R2, first and last temperature.
  test.each<[string, number, number, number, number, number]>([
    ['bean', 6.4, 144, 0.993, 15, 30],
    ['beet', 3.1, 109, 0.987, 5, 25],
    ['cabbage', 2.6, 110, 0.996, 10, 30],
    ['cauliflower', 5.0, 97, 0.986, 10, 25],
    ['cucumber', 10.4, 59, 1.0, 15, 30],
    ['eggplant', 14.1, 81, 0.984, 20, 30],
    ['lettuce', 0.9, 53, 0.967, 0, 25],
    ['onion', 0.9, 98, 0.986, 0, 25],
    ['parsley', -8.1, 432, 0.901, 10, 30],
    ['pea', -0.1, 151, 0.978, 5, 25],
    ['pepper', 10.5, 118, 0.994, 15, 25],
    ['tomato', 7.5, 103, 0.998, 10, 25],
    ['watermelon', 14.0, 62, 0.976, 20, 35],
  ])('%s: base %d C, %d C d, R2 %d, from %d to %d C', (name, baseC, sum, r2, fromC, toC) => {
    const points = (crop(name).trials[0]?.rows ?? []).flatMap(({ atC, days: one }) =>
      one === null || one === 'never' ? [] : [{ atC: atC.low, days: one.low }],
    );
    const fit = thermalTimeOf(points);
    expect(fit?.baseC).toBeCloseTo(baseC, 1);
    expect(Math.abs((fit?.sumCDays ?? 0) - sum)).toBeLessThan(0.6);
    expect(fit?.r2).toBeCloseTo(r2, 2);
    expect([fit?.fromC, fit?.toC]).toEqual([fromC, toC]);
  });

  test('parsley and its like have no straight line: the trials speak alone', () => {
    const forecast = emergence(crop('parsley'), 20);
    expect(forecast.ok && forecast.value.estimates.map(({ by }) => by)).toEqual(['trials']);
  });
});
