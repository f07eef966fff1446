import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Drying } from '../../firmware/control/drying';
import { holds } from '../properties';
import { MINUTE_MS } from './readings';

/** So many undisturbed minutes, losing `gPerMin`. */
function minutes(drying: Drying, count: number, gPerMin: number, fromG = 4_000): void {
  for (let i = 0; i < count; i++) drying.push(fromG - i * gPerMin);
}

describe('how fast a tray dries', () => {
  it('is known after ten whole minutes that nobody disturbed, and not before', () => {
    const drying = new Drying();
    minutes(drying, 10, 2);
    expect(drying.fellG).toBeNaN();
    expect(drying.gPerMs).toBe(0);
    drying.push(4_000 - 20);
    expect(drying.fellG).toBe(20);
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('stays known through a disturbance, while what fell is forgotten', () => {
    const drying = new Drying();
    minutes(drying, 11, 2);
    drying.interrupt();
    expect(drying.fellG).toBeNaN();
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
    minutes(drying, 10, 50, 3_000);
    expect(drying.fellG).toBeNaN();
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('is that of the last ten minutes: what was before them is left behind', () => {
    const drying = new Drying();
    minutes(drying, 30, 5);
    minutes(drying, 11, 1, 3_000);
    expect(drying.fellG).toBe(10);
    expect(drying.gPerMs).toBeCloseTo(1 / MINUTE_MS, 12);
  });

  it('is never less than none: a tray that gets heavier proves no dose', () => {
    const drying = new Drying();
    minutes(drying, 11, -3);
    expect(drying.fellG).toBe(-30);
    expect(drying.gPerMs).toBe(0);
  });

  it('keeps its last figure through a minute without a weight', () => {
    const drying = new Drying();
    minutes(drying, 11, 2);
    drying.push(Number.NaN);
    expect(drying.fellG).toBeNaN();
    expect(drying.gPerMs).toBeCloseTo(2 / MINUTE_MS, 12);
  });

  it('is a number and not negative, over any course of minutes and disturbances', () => {
    const minute = fc.oneof(
      { weight: 9, arbitrary: fc.double({ min: 0, max: 6_000 }) },
      { weight: 1, arbitrary: fc.constant(null) },
    );
    holds(
      fc.property(fc.array(minute, { maxLength: 120, size: 'max' }), (course) => {
        const drying = new Drying();
        for (const trayG of course) {
          if (trayG === null) drying.interrupt();
          else drying.push(trayG);
          expect(drying.gPerMs).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });
});
