import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HEAT_OFF, type HeatState, nextHeat } from '../../firmware/control/heat';
import { HEAT_LIMITS } from '../../firmware/limits';
import type { Band } from '../../shared/profile/profile';
import { holds } from '../properties';

const BAND: Band = { lowC: 26, highC: 27 };
const heat = (state: HeatState, rootZoneC: number, uptimeMs: number, interlocked = false) =>
  nextHeat(state, rootZoneC, uptimeMs, interlocked, BAND, HEAT_LIMITS);

describe('the mat', () => {
  it('comes on below the band, goes off above it, and keeps what it does between', () => {
    const warming = heat(HEAT_OFF, 25.9, 1_000);
    expect(warming).toEqual({ on: true, sinceMs: 1_000 });
    expect(heat(warming, 26.5, 500_000)).toBe(warming);
    expect(heat(warming, 27, 500_000)).toBe(warming);
    const cooling = heat(warming, 27.1, 500_000);
    expect(cooling).toEqual({ on: false, sinceMs: 500_000 });
    expect(heat(cooling, 26.5, 900_000)).toBe(cooling);
    expect(heat(cooling, 26, 900_000)).toBe(cooling);
  });

  it('may come on at once after a start, and then only after its time off', () => {
    expect(heat(HEAT_OFF, 20, 0).on).toBe(true);
    const off: HeatState = { on: false, sinceMs: 10_000 };
    expect(heat(off, 20, 10_000 + HEAT_LIMITS.minOffMs - 1).on).toBe(false);
    expect(heat(off, 20, 10_000 + HEAT_LIMITS.minOffMs).on).toBe(true);
  });

  it('stays on for its time on, unless an interlock drops it: that is at once', () => {
    const on: HeatState = { on: true, sinceMs: 10_000 };
    expect(heat(on, 40, 10_000 + HEAT_LIMITS.minOnMs - 1).on).toBe(true);
    expect(heat(on, 40, 10_000 + HEAT_LIMITS.minOnMs).on).toBe(false);
    expect(heat(on, 20, 10_001, true)).toEqual({ on: false, sinceMs: 10_001 });
  });

  it('is off without a band and with a root zone nobody knows', () => {
    const on: HeatState = { on: true, sinceMs: 0 };
    expect(heat(on, Number.NaN, 1).on).toBe(false);
    expect(nextHeat(on, 20, 1, false, null, HEAT_LIMITS).on).toBe(false);
    expect(nextHeat(HEAT_OFF, 20, 1, false, null, HEAT_LIMITS)).toBe(HEAT_OFF);
    expect(heat(HEAT_OFF, Number.NaN, 1)).toBe(HEAT_OFF);
  });

  it('after an interlock waits its time off again, so that a loose probe cannot rattle it', () => {
    const dropped = heat({ on: true, sinceMs: 0 }, 20, 5_000, true);
    expect(heat(dropped, 20, 5_000 + HEAT_LIMITS.minOffMs - 1).on).toBe(false);
  });
});

/** A night of ticks: any root zone, now and then an interlock, ticks that come late. */
const ticks = (lowC: number, highC: number, interlocks: boolean) =>
  fc.array(
    fc.record({
      rootZoneC: fc.oneof(
        { weight: 9, arbitrary: fc.double({ min: lowC, max: highC, noNaN: true }) },
        { weight: 1, arbitrary: fc.constant(Number.NaN) },
      ),
      dtMs: fc.integer({ min: 1, max: 30_000 }),
      interlocked: interlocks ? fc.boolean() : fc.constant(false),
    }),
    { maxLength: 200, size: 'max' },
  );

describe('the mat over any course of temperatures', () => {
  it('is never on with an interlock or an unknown root zone', () => {
    holds(
      fc.property(ticks(0, 60, true), (course) => {
        let state = HEAT_OFF;
        let uptimeMs = 0;
        for (const { rootZoneC, dtMs, interlocked } of course) {
          uptimeMs += dtMs;
          state = heat(state, rootZoneC, uptimeMs, interlocked);
          if (interlocked || Number.isNaN(rootZoneC)) expect(state.on).toBe(false);
        }
      }),
    );
  });

  it('never switches while the root zone stays inside the band', () => {
    const inside = fc.double({ min: BAND.lowC, max: BAND.highC, noNaN: true });
    holds(
      fc.property(fc.boolean(), fc.array(inside, { maxLength: 300, size: 'max' }), (on, course) => {
        const before: HeatState = { on, sinceMs: 0 };
        let state = before;
        course.forEach((rootZoneC, i) => {
          state = heat(state, rootZoneC, (i + 1) * 60_000);
        });
        expect(state).toBe(before);
      }),
    );
  });

  it('by its own wish never switches sooner than the times on and off allow', () => {
    const known = fc.double({ min: 0, max: 60, noNaN: true });
    const course = fc.array(fc.tuple(known, fc.integer({ min: 1, max: 30_000 })), {
      maxLength: 300,
    });
    holds(
      fc.property(course, (readings) => {
        let state = HEAT_OFF;
        let uptimeMs = 0;
        for (const [rootZoneC, dtMs] of readings) {
          uptimeMs += dtMs;
          const next = heat(state, rootZoneC, uptimeMs);
          if (next.on !== state.on) {
            const leastMs = state.on ? HEAT_LIMITS.minOnMs : HEAT_LIMITS.minOffMs;
            expect(uptimeMs - state.sinceMs).toBeGreaterThanOrEqual(leastMs);
          }
          state = next;
        }
      }),
    );
  });
});
