import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  DRYING_UNKNOWN,
  type Drying,
  disturbed,
  isMoreThanDries,
  nextDrying,
} from '../../firmware/control/drying';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';

/** So many undisturbed minutes more, losing `gPerMin`. */
function minutes(before: Drying, count: number, gPerMin: number, fromG = 4_000): Drying {
  let drying = before;
  for (let i = 0; i < count; i++) drying = nextDrying(drying, fromG - i * gPerMin, true);
  return drying;
}

describe('how fast a tray dries', () => {
  it('is known after ten whole minutes that nobody disturbed, and not before', () => {
    const almost = minutes(DRYING_UNKNOWN, 10, 2);
    expect(almost.fellG).toBeNaN();
    expect(almost.gPerMs).toBe(0);
    const drying = nextDrying(almost, 4_000 - 20, true);
    expect(drying.fellG).toBe(20);
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('stays known through a disturbance, while what fell is forgotten', () => {
    const touched = disturbed(minutes(DRYING_UNKNOWN, 11, 2));
    expect(touched.fellG).toBeNaN();
    expect(touched.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
    const later = minutes(touched, 10, 50, 3_000);
    expect(later.fellG).toBeNaN();
    expect(later.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('is that of the last ten minutes: what was before them is left behind', () => {
    const drying = minutes(minutes(DRYING_UNKNOWN, 30, 5), 11, 1, 3_000);
    expect(drying.fellG).toBe(10);
    expect(drying.gPerMs).toBeCloseTo(1 / MINUTE_MS, 12);
  });

  it('is never less than none: a tray that gets heavier proves no dose', () => {
    const drying = minutes(DRYING_UNKNOWN, 11, -3);
    expect(drying.fellG).toBe(-30);
    expect(drying.gPerMs).toBe(0);
  });

  it('is not told by what runs out of a tray that drains still, though that falls', () => {
    let drying = minutes(DRYING_UNKNOWN, 11, 2);
    for (let i = 0; i < 11; i++) drying = nextDrying(drying, 4_500 - i * 9, false);
    expect(drying.fellG).toBe(90);
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('is usually what it was over an hour, which a leak that is sooner over hardly moves', () => {
    const hour = minutes(DRYING_UNKNOWN, 70, 1);
    expect(hour.usualGPerMs).toBeCloseTo(1 / MINUTE_MS, 12);
    // 12 g a minute, for three minutes: a fall of 36 g and no more. And on and on: evaporation reaches none of it.
    let leaking = hour;
    for (const lostG of [12, 24, 36]) leaking = nextDrying(leaking, 4_000 - 69 - lostG, true);
    expect(leaking.gPerMs).toBeGreaterThan(4 / MINUTE_MS);
    expect(leaking.usualGPerMs).toBeLessThan(1.2 / MINUTE_MS);
    const leaked = minutes(leaking, 120, 12, 3_900);
    expect(leaked.gPerMs).toBeCloseTo(12 / MINUTE_MS, 12);
    expect(leaked.usualGPerMs).toBeLessThan(1.3 / MINUTE_MS);
    expect(disturbed(leaked).usualGPerMs).toBe(leaked.usualGPerMs);
    expect(minutes(leaked, 180, 2, 3_000).usualGPerMs).toBeGreaterThan(1.9 / MINUTE_MS);
  });

  it('keeps its last figure through a minute without a weight', () => {
    const drying = nextDrying(minutes(DRYING_UNKNOWN, 11, 2), Number.NaN, true);
    expect(drying.fellG).toBeNaN();
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('is remembered by no more than the ten minutes, and a tray that is disturbed for long makes nothing anew', () => {
    const drying = minutes(DRYING_UNKNOWN, 100, 2);
    expect(drying.minutesG).toHaveLength(11);
    const touched = disturbed(drying);
    expect(disturbed(touched)).toBe(touched);
  });

  it('is a number and not negative, over any course of minutes and disturbances', () => {
    const minute = fc.oneof(
      { weight: 9, arbitrary: fc.double({ min: 0, max: 6_000 }) },
      { weight: 1, arbitrary: fc.constant(null) },
    );
    holds(
      fc.property(fc.array(minute, { maxLength: 120, size: 'max' }), (course) => {
        let drying = DRYING_UNKNOWN;
        for (const trayG of course) {
          drying = trayG === null ? disturbed(drying) : nextDrying(drying, trayG, true);
          expect(drying.gPerMs).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });
});

describe('a tray that loses more than evaporation takes', () => {
  const losing = (gPerMin: number) => isMoreThanDries(minutes(DRYING_UNKNOWN, 11, gPerMin));

  it('loses more than 40 g in ten minutes, and no less', () => {
    expect(losing(4)).toBe(false);
    expect(losing(4.1)).toBe(true);
    expect(isMoreThanDries(DRYING_UNKNOWN)).toBe(false);
  });

  it('does so at any pace above that, though nothing of it is learnt as usual', () => {
    holds(
      fc.property(fc.double({ min: 0, max: 60, noNaN: true }), (gPerMin) => {
        const drying = minutes(DRYING_UNKNOWN, 11, gPerMin);
        const isMore = drying.fellG > WEIGHT_LIMITS.fallingG;
        expect(isMoreThanDries(drying)).toBe(isMore);
        if (isMore) expect(drying.usualGPerMs).toBe(0);
      }),
    );
  });
});
