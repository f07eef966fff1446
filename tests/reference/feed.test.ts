import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MS_CM_PER_MG_L_N } from '../../shared/crops/ladder';
import { feedStep, type Stock, stockGL } from '../../shared/physics/feed';
import { formatPpm, PPM_SCALES, parseQuantity } from '../../shared/units';
import { holds } from '../properties';

describe('ppm scales of EC meters (conversion tables of meter manuals)', () => {
  test.each([
    [1.0, [500, 640, 700]],
    [1.2, [600, 768, 840]],
    [2.0, [1000, 1280, 1400]],
    [2.4, [1200, 1536, 1680]],
  ])('%d mS/cm', (ec, shown) => {
    PPM_SCALES.forEach((scale, i) => {
      expect(formatPpm(ec, scale)).toBe(`${shown[i]} ppm${scale}`);
      expect(parseQuantity('ec', `${shown[i]} ppm${scale}`)).toEqual({ ok: true, value: ec });
    });
  });
});

describe('bringing a reservoir to its EC (EC linear in dilution: common practice)', () => {
  /** A and B, each 1:100, together give 2.0 mS/cm more. */
  const twoPart: Stock = { ratio: 100, gainMsCm: 2, parts: 2 };
  const of = (volumeMl: number, ecMsCm: number, roomMl: number | null = null) => ({
    volumeMl,
    ecMsCm,
    roomMl,
  });
  const stockOf = (volumeMl: number, has: number, to: number, stock = twoPart) => {
    const step = feedStep(of(volumeMl, has), to, 0, stock);
    if (!step.ok || step.value.add !== 'stock') throw new Error('stock must be added');
    return step.value;
  };

  // Without the stock's own volume: 20 and 50 ml. With it, 1 % more, which is what the parts thin.
  test.each([
    [5000, 0.8, 20],
    [10_000, 1.0, 50],
  ])('%d ml wanting %d mS/cm more takes %d ml of each part, and 1 % more', (ml, gain, eachMl) => {
    const { eachMl: told } = stockOf(ml, 0, gain);
    expect(told).toBeGreaterThan(eachMl);
    expect(told / eachMl).toBeCloseTo(1 / (1 - (2 * gain) / 200), 9);
  });

  test('the stock’s own volume counts: what comes out has the strength wanted', () => {
    const parts = fc.constantFrom<1 | 2>(1, 2);
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    holds(
      fc.property(number(100, 50_000), number(0, 1), number(1.1, 3), parts, (ml, has, to, n) => {
        const { eachMl, makesMl } = stockOf(ml, has, to, { ...twoPart, parts: n });
        expect(makesMl).toBeCloseTo(ml + n * eachMl, 6);
        // A pair of ml brings 200 ml of feed up by 1 mS/cm.
        expect((ml * has + eachMl * 200) / makesMl).toBeCloseTo(to, 9);
      }),
    );
  });

  test('more is wanted, more is taken', () => {
    const ec = fc.double({ min: 0.2, max: 3, noNaN: true });
    holds(
      fc.property(ec, ec, (one, other) => {
        const [low, high] = one < other ? [one, other] : [other, one];
        expect(stockOf(1000, 0.1, high).eachMl).toBeGreaterThanOrEqual(
          stockOf(1000, 0.1, low).eachMl,
        );
      }),
    );
  });

  test('the water’s own EC counts: 0.30 water to 1.20 takes stock for 0.90', () => {
    expect(stockOf(10_000, 0.3, 1.2).eachMl / 45).toBeCloseTo(1 / (1 - 2.4 / 200), 9);
    // 15-5-15 gives 0.0074 mS/cm per ppm N (same source): 121.6 ppm N.
    expect((1.2 - 0.3) / MS_CM_PER_MG_L_N).toBeCloseTo(121.6, 1);
  });

  test('too strong is thinned with water, never with salt', () => {
    const step = feedStep(of(10_000, 1.5), 1.0, 0.25, twoPart);
    if (!step.ok || step.value.add !== 'water') throw new Error('water must be added');
    const { waterMl, makesMl } = step.value;
    expect((10_000 * 1.5 + waterMl * 0.25) / (10_000 + waterMl)).toBeCloseTo(1, 9);
    expect(makesMl).toBeCloseTo(10_000 + waterMl, 9);
  });

  test('a reservoir never runs over, whatever is added', () => {
    for (const to of [0.8, 1.6]) {
      const step = feedStep(of(4_000, 1.2, 4_000), to, 0, twoPart);
      if (!step.ok || step.value.add === 'nothing') throw new Error('something must be added');
      expect(step.value.makesMl).toBeCloseTo(4_000, 9);
      expect(step.value.pourOutMl).toBeGreaterThan(0);
      const added = step.value.add === 'water' ? step.value.waterMl : 2 * step.value.eachMl;
      expect(4_000 - step.value.pourOutMl + added).toBeCloseTo(4_000, 9);
    }
  });

  test('on target nothing is added', () => {
    expect(feedStep(of(10_000, 1), 1, 0.3, twoPart)).toEqual({
      ok: true,
      value: { add: 'nothing' },
    });
  });

  test('water stronger than the target cannot thin the feed', () => {
    const step = feedStep(of(10_000, 1.5), 0.8, 0.9, twoPart);
    expect(step.ok ? '' : step.why).toMatch(/water alone has 0.9 mS\/cm/);
  });

  test.each([
    [0, 1, 1.2, 0.3],
    [-5, 1, 1.2, 0.3],
    [1000, Number.NaN, 1.2, 0.3],
    [1000, 1, Number.POSITIVE_INFINITY, 0.3],
  ])('refuses a volume of %d ml at %d for %d mS/cm', (volumeMl, present, target, water) => {
    expect(feedStep(of(volumeMl, present), target, water, twoPart).ok).toBe(false);
  });

  test('refuses a stock without strength, and one no stronger than the feed', () => {
    const weak = (stock: Partial<Stock>) => feedStep(of(1000, 0), 1, 0, { ...twoPart, ...stock });
    expect(weak({ ratio: 0 }).ok).toBe(false);
    expect(weak({ gainMsCm: 0 }).ok).toBe(false);
    expect(weak({ ratio: 1, gainMsCm: 1 }).ok).toBe(false);
  });
});

describe('mixing and thinning (C1 V1 = C2 V2, worked examples of chemistry courses)', () => {
  const reservoir = (volumeMl: number, ecMsCm: number) => ({ volumeMl, ecMsCm, roomMl: null });

  // OpenStax, Chemistry: Atoms First, section 6.3: HBr of 0.45 M to 0.12 M; HNO3 of 1.88 M to 0.125 M.
  // A dilutions worksheet of a school: 500 ml of 2.4 M to 1.0 M takes 700 ml of water. All printed to two or three digits.
  test.each([
    [11, 0.45, 0.12, 41],
    [250, 1.88, 0.125, 3760],
    [500, 2.4, 1, 1200],
  ])('%d ml of strength %d, thinned to %d, make %d ml', (volumeMl, has, to, makesMl) => {
    const step = feedStep(reservoir(volumeMl, has), to, 0, null);
    if (!step.ok || step.value.add !== 'water') throw new Error('water must be added');
    expect(Math.abs(step.value.makesMl / makesMl - 1)).toBeLessThan(0.01);
    expect(step.value.waterMl).toBeCloseTo(step.value.makesMl - volumeMl, 9);
  });

  test('5.00 l of strength 0.100 take 314 ml of a stock of 1.59 (OpenStax, the same section)', () => {
    const stock: Stock = { ratio: 1, gainMsCm: 1.59, parts: 1 };
    const step = feedStep(reservoir(5_000 - 314.5, 0), 0.1, 0, stock);
    if (!step.ok || step.value.add !== 'stock') throw new Error('stock must be added');
    expect(step.value.eachMl).toBeCloseTo(314, -0.5);
    expect(step.value.makesMl).toBeCloseTo(5_000, -0.5);
  });
});

describe('the stock of an injector (mg/l = g/l x % x 10)', () => {
  /** g/l in oz per US gallon. */
  const ozGal = (gL: number): number => (gL * 3.785411784) / 28.349523125;

  test.each([
    // N. Mattson, e-GRO Edible Alert 3(5): calcium nitrate 15.5 % N, 645.2 mg/l, 64.5 g/l at 1:100.
    [100, 0.155, 100, 64.5],
    // Calcinit stock, 100 g to a litre: 15 500 mg/l N.
    [155, 0.155, 100, 100],
  ])('%d mg/l of what is %d of the salt, at 1:%d, is %d g/l', (want, share, ratio, gL) => {
    expect(stockGL(want, share, ratio) / gL).toBeCloseTo(1, 3);
  });

  test.each([
    // "3 key concepts for understanding fertilizer", 20 % N.
    [200, 0.2, 100, 13.33],
    [200, 0.2, 200, 26.66],
    // Univ. of Massachusetts: 15 % N, 18 oz to a gallon of stock.
    [200, 0.15, 100, 18],
    // An injector article's chart, in steps of half an ounce.
    [225, 0.15, 100, 20.25],
  ])(
    '%d mg/l of a %d salt at 1:%d is %d oz to a gallon, within 1.5 %%',
    (want, share, ratio, oz) => {
      expect(Math.abs(ozGal(stockGL(want, share, ratio)) / oz - 1)).toBeLessThan(0.015);
    },
  );

  test('ammonium nitrate, 33 % N: an ounce to 100 gal gives 24.7 mg/l, not the 29.75 that is printed', () => {
    // Texas A&M: ppm = share x 75; its 0.33 x 75 is misprinted. 100 gal of feed, straight.
    expect(ozGal(stockGL(24.75, 0.33, 1)) * 100).toBeCloseTo(1, 2);
    expect(ozGal(stockGL(29.75, 0.33, 1)) * 100).toBeGreaterThan(1.19);
  });
});
