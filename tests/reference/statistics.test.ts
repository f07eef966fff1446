import { describe, expect, test } from 'vitest';
import { binomialChance, chanceOfAtLeast, seedsFor } from '../../shared/statistics/binomial';
import { fisherChance } from '../../shared/statistics/fisher';
import { normalQuantile } from '../../shared/statistics/normal';
import { wilsonInterval } from '../../shared/statistics/wilson';

describe('the normal quantile (Wichura 1988, Applied Statistics 37:477, test values)', () => {
  test.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798409],
  ])('of %d', (p, z) => {
    expect(Math.abs(normalQuantile(p) / z - 1)).toBeLessThan(1e-14);
  });

  test('of 0.975 is the 1.96 of every table', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14);
  });
});

describe('chances that seeds come up (worked examples of statistics courses)', () => {
  test.each([
    ['20 bulbs of 80 %, at least 18', 20, 0.8, 18, 0.206085, 6],
    ['10 seeds of 70 %, at most 7', 10, 0.7, 8, 1 - 0.617217, 6],
    ['10 seeds of 70 %, at least 4', 10, 0.7, 4, 0.989408, 6],
    ['9 of 75 %, at most 7', 9, 0.75, 8, 1 - 0.7, 2],
    ['20 of 80 %, fewer than 2', 20, 0.8, 2, 1 - 8.4935e-13, 15],
  ])('%s', (_, seeds, germination, atLeast, chance, digits) => {
    expect(chanceOfAtLeast(seeds, germination, atLeast)).toBeCloseTo(chance, digits);
  });

  test.each([
    [10, 0.7, 7, 0.266827932],
    [10, 0.7, 10, 0.0282475249],
    [10, 0.8, 7, 0.201326592],
    [20, 0.8, 10, 0.0020314],
  ])('%d seeds of %d: exactly %d', (seeds, germination, up, chance) => {
    expect(binomialChance(seeds, germination, up)).toBeCloseTo(chance, 7);
  });
});

describe('seeds to sow for so many plants with 95 % certainty (exact binomial, by another program)', () => {
  const PLANTS = [1, 2, 5, 10, 20, 24, 50, 72, 98, 100, 200];
  test.each([
    [0.5, [5, 8, 16, 28, 51, 60, 117, 165, 220, 224, 434]],
    [0.7, [3, 5, 10, 19, 35, 41, 81, 114, 153, 156, 304]],
    [0.8, [2, 4, 9, 16, 29, 35, 69, 98, 132, 135, 263]],
    [0.85, [2, 4, 8, 14, 27, 32, 64, 91, 123, 125, 246]],
    [0.9, [2, 3, 7, 13, 25, 30, 60, 85, 115, 117, 231]],
    // One seed of 95 % meets 95 % by equality: the rule says "at least".
    [0.95, [1, 3, 6, 12, 23, 27, 56, 79, 107, 109, 216]],
  ])('germination %d', (germination, seeds) => {
    expect(PLANTS.map((plants) => seedsFor(plants, germination, 0.95))).toEqual(
      seeds.map((value) => ({ ok: true, value })),
    );
  });

  test.each([
    [0.5, [7, 33, 125]],
    [0.7, [4, 21, 86]],
    [0.85, [3, 16, 67]],
    [0.95, [2, 13, 57]],
  ])('with 99 %% certainty, germination %d', (germination, seeds) => {
    expect([1, 10, 50].map((plants) => seedsFor(plants, germination, 0.99))).toEqual(
      seeds.map((value) => ({ ok: true, value })),
    );
  });

  test('two seeds a cell at 80 %, and three at 70 %, are what "at least one" takes', () => {
    expect(seedsFor(1, 0.8, 0.95)).toEqual({ ok: true, value: 2 });
    expect(seedsFor(1, 0.7, 0.95)).toEqual({ ok: true, value: 3 });
  });
});

describe('Wilson’s interval, 95 % (Newcombe 1998, Statistics in Medicine 17:857, table I, method 3)', () => {
  test.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('%d of %d', (found, of, low, high) => {
    const interval = wilsonInterval(found, of);
    expect(interval.low).toBeCloseTo(low, 4);
    expect(interval.high).toBeCloseTo(high, 4);
  });

  test('500 of 1000 with 90 % confidence (by another program)', () => {
    const { low, high } = wilsonInterval(500, 1000, 0.9);
    expect(low).toBeCloseTo(0.474028, 6);
    expect(high).toBeCloseTo(0.525972, 6);
  });
});

describe('Fisher’s exact test', () => {
  test('the two whale counts of the SciPy manual, 8 2 / 1 5: 0.0350', () => {
    expect(fisherChance({ found: 8, of: 9 }, { found: 2, of: 7 })).toBeCloseTo(0.034965, 6);
  });

  test('the lady tasting tea (Fisher 1935): all four told is one chance in 70 on each side', () => {
    expect(fisherChance({ found: 4, of: 4 }, { found: 0, of: 4 })).toBeCloseTo(2 / 70, 12);
    expect(fisherChance({ found: 3, of: 4 }, { found: 1, of: 4 })).toBeCloseTo(2 * 0.242857, 5);
  });

  test.each([
    [90, 100, 80, 100, 0.073428],
    [47, 50, 40, 50, 0.071308],
  ])('%d of %d seeds against %d of %d (by another program)', (a, ofA, b, ofB, chance) => {
    expect(fisherChance({ found: a, of: ofA }, { found: b, of: ofB })).toBeCloseTo(chance, 6);
  });
});
