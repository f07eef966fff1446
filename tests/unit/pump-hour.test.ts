import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { afterRun, fitsInHour, NOT_RUN } from '../../firmware/control/pump-hour';
import { LIMITER } from '../../shared/board/map';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';

const MOST_MS = LIMITER.pumpMaxMsPerHour;

describe('a dose and the hour in which the pump may run', () => {
  it('fits to the millisecond, and no longer', () => {
    const hour = afterRun(NOT_RUN, 1000, MOST_MS - 200_000);
    expect(fitsInHour(hour, 200_000)).toBe(true);
    expect(fitsInHour(hour, 200_001)).toBe(false);
  });

  it('fits into the next hour of uptime', () => {
    const hour = afterRun(NOT_RUN, HOUR_MS - 1, MOST_MS);
    expect(fitsInHour(hour, 1)).toBe(false);
    expect(fitsInHour(afterRun(hour, HOUR_MS, 0), MOST_MS)).toBe(true);
  });

  it('fits into a fresh hour however long it takes: the board stops it, and a person is called', () => {
    expect(fitsInHour(NOT_RUN, 2 * MOST_MS)).toBe(true);
    expect(fitsInHour(afterRun(NOT_RUN, 5, 1), 2 * MOST_MS)).toBe(false);
  });

  it('is never cut short by the board, whatever ran when', () => {
    const run = fc.record({
      gapMs: fc.nat(2 * HOUR_MS),
      pumpMs: fc.integer({ min: 500, max: 300_000 }),
    });
    holds(
      fc.property(fc.array(run, { maxLength: 40 }), (runs) => {
        let hour = NOT_RUN;
        let nowMs = 0;
        const ranIn = new Map<number, number>();
        for (const { gapMs, pumpMs } of runs) {
          nowMs += gapMs;
          hour = afterRun(hour, nowMs, 0);
          if (!fitsInHour(hour, pumpMs)) continue;
          for (let leftMs = pumpMs; leftMs > 0; leftMs -= 1000) {
            const ms = Math.min(leftMs, 1000);
            nowMs += ms;
            hour = afterRun(hour, nowMs, ms);
            const index = Math.floor(nowMs / HOUR_MS);
            ranIn.set(index, (ranIn.get(index) ?? 0) + ms);
          }
        }
        return [...ranIn.values()].every((ms) => ms <= MOST_MS);
      }),
    );
  });
});
