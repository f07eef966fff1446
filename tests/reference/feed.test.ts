import { describe, expect, test } from 'vitest';
import { ecAt25C, feedStep, type Stock } from '../../shared/physics/feed';
import { formatPpm, PPM_SCALES, parseQuantity } from '../../shared/units';

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

describe('EC at 25 C (ISO 7888 / EN 27888, natural water)', () => {
  test.each([
    [0, 1.918],
    [5, 1.643],
    [10, 1.428],
    [15, 1.256],
    [18, 1.168],
    [20, 1.116],
    [22, 1.067],
    [24, 1.021],
    [25, 1],
    [26, 0.979],
    [28, 0.94],
    [30, 0.903],
    [35, 0.822],
  ])('a reading at %d C counts %d times', (tempC, factor) => {
    expect(ecAt25C(1, tempC)).toBeCloseTo(factor, 9);
  });

  test('2 %/K, the rule of thumb, agrees within 0.5 % from 10 to 28 C', () => {
    for (let tempC = 10; tempC <= 28; tempC++) {
      const linear = 1 / (1 + 0.02 * (tempC - 25));
      expect(Math.abs(ecAt25C(1, tempC) / linear - 1)).toBeLessThan(0.006);
    }
  });

  test.each([
    [1.278, 20],
    [1.552, 30],
  ])(
    'the 1.413 mS/cm standard reads %d at %d C (meter manual), within 1.1 %%',
    (reading, tempC) => {
      expect(ecAt25C(reading, tempC) / 1.413).toBeGreaterThan(0.99);
      expect(ecAt25C(reading, tempC) / 1.413).toBeLessThan(1.011);
    },
  );

  // Whole degrees between the nodes, from the full table of the standard.
  test.each([
    [12, 1.354],
    [16, 1.225],
    [27, 0.959],
    [32, 0.869],
  ])('between its nodes, at %d C, it is %d within 0.2 %%', (tempC, factor) => {
    expect(Math.abs(ecAt25C(1, tempC) / factor - 1)).toBeLessThan(0.002);
  });

  test('outside 0 to 35 C there is no factor', () => {
    for (const tempC of [-1, 36, Number.NaN]) expect(ecAt25C(1, tempC)).toBeNaN();
  });
});

describe('bringing a reservoir to its EC (EC linear in dilution: common practice)', () => {
  /** A and B, each 1:100, together give 2.0 mS/cm more. */
  const twoPart: Stock = { ratio: 100, gainMsCm: 2 };

  test.each([
    [5000, 0.8, 20],
    [10_000, 1.0, 50],
  ])('%d ml wanting %d mS/cm more takes %d ml of each part', (volumeMl, gain, eachMl) => {
    const step = feedStep(volumeMl, 0, gain, 0, twoPart);
    if (!step.ok || step.value.add !== 'stock') throw new Error('stock must be added');
    expect(step.value.eachMl).toBeCloseTo(eachMl, 9);
  });

  test('the water’s own EC counts: 0.30 water to 1.20 takes stock for 0.90', () => {
    const step = feedStep(10_000, 0.3, 1.2, 0.3, twoPart);
    expect(step).toEqual({ ok: true, value: { add: 'stock', eachMl: expect.closeTo(45, 9) } });
    // 15-5-15 gives 0.0074 mS/cm per ppm N (same source): 121.6 ppm N.
    expect((1.2 - 0.3) / 0.0074).toBeCloseTo(121.6, 1);
  });

  test('too strong is thinned with water, never with salt', () => {
    const step = feedStep(10_000, 1.5, 1.0, 0.25, twoPart);
    if (!step.ok || step.value.add !== 'water') throw new Error('water must be added');
    const { waterMl } = step.value;
    expect((10_000 * 1.5 + waterMl * 0.25) / (10_000 + waterMl)).toBeCloseTo(1, 9);
  });

  test('on target nothing is added', () => {
    expect(feedStep(10_000, 1, 1, 0.3, twoPart)).toEqual({ ok: true, value: { add: 'nothing' } });
  });

  test('water stronger than the target cannot thin the feed', () => {
    const step = feedStep(10_000, 1.5, 0.8, 0.9, twoPart);
    expect(step.ok ? '' : step.why).toMatch(/water alone has 0.9 mS\/cm/);
  });

  test.each([
    [0, 1, 1.2, 0.3],
    [-5, 1, 1.2, 0.3],
    [1000, Number.NaN, 1.2, 0.3],
    [1000, 1, Number.POSITIVE_INFINITY, 0.3],
  ])('refuses a volume of %d ml at %d for %d mS/cm', (volumeMl, present, target, water) => {
    expect(feedStep(volumeMl, present, target, water, twoPart).ok).toBe(false);
  });

  test('refuses a stock without strength', () => {
    expect(feedStep(1000, 0, 1, 0, { ratio: 0, gainMsCm: 2 }).ok).toBe(false);
    expect(feedStep(1000, 0, 1, 0, { ratio: 100, gainMsCm: 0 }).ok).toBe(false);
  });
});
