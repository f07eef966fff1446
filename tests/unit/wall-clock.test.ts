import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { WallClock } from '../../firmware/tray/wall-clock';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';

const NOON_MS = Date.UTC(2026, 2, 1, 12);
const UNKNOWN = 0;

describe('the time of day', () => {
  it('is unknown until a laptop tells it, and runs with uptime from then on', () => {
    const clock = new WallClock(UNKNOWN);
    expect(clock.known).toBe(false);
    expect(clock.minuteOfDay(HOUR_MS, 0)).toBe(null);
    expect(clock.unixMs(HOUR_MS)).toBeNaN();
    clock.set(NOON_MS, HOUR_MS);
    expect(clock.known).toBe(true);
    expect(clock.unixMs(2 * HOUR_MS)).toBe(NOON_MS + HOUR_MS);
  });

  it('is the one of the grower, east and west of Greenwich', () => {
    const clock = new WallClock(UNKNOWN);
    clock.set(Date.UTC(2026, 2, 1, 23, 30), 0);
    expect(clock.minuteOfDay(0, 0)).toBe(1_410);
    expect(clock.minuteOfDay(0, 60)).toBe(30);
    expect(clock.minuteOfDay(30 * MINUTE_MS, 0)).toBe(0);
    clock.set(Date.UTC(2026, 2, 1, 0, 30), 0);
    expect(clock.minuteOfDay(0, -60)).toBe(1_410);
  });

  it('is a minute of the day whatever clock and offset', () => {
    const unixMs = fc.integer({ min: 0, max: 4e12 });
    const offset = fc.integer({ min: -720, max: 840 });
    holds(
      fc.property(unixMs, fc.nat(1e10), offset, (nowMs, uptimeMs, utcOffsetMin) => {
        const clock = new WallClock(UNKNOWN);
        clock.set(nowMs, uptimeMs);
        const minute = clock.minuteOfDay(uptimeMs, utcOffsetMin);
        expect(minute).toBe(
          new Date(nowMs + utcOffsetMin * MINUTE_MS).getUTCHours() * 60 +
            new Date(nowMs + utcOffsetMin * MINUTE_MS).getUTCMinutes(),
        );
      }),
    );
  });
});

describe('an outage', () => {
  it('is as long as the time between the last checkpoint and the start', () => {
    const clock = new WallClock(NOON_MS);
    expect(clock.set(NOON_MS + 3 * HOUR_MS, HOUR_MS)).toBe(2 * HOUR_MS);
  });

  it('is another one by another clock', () => {
    const clock = new WallClock(NOON_MS);
    clock.set(NOON_MS + 30 * HOUR_MS, HOUR_MS);
    expect(clock.set(NOON_MS + 3 * HOUR_MS, HOUR_MS)).toBe(2 * HOUR_MS);
  });

  it('is none where nothing was known before, or the clock goes back', () => {
    expect(new WallClock(UNKNOWN).set(NOON_MS, HOUR_MS)).toBe(0);
    expect(new WallClock(NOON_MS).set(NOON_MS - HOUR_MS, HOUR_MS)).toBe(0);
  });

  it('matters no more once the grower has said how the tray stands: nor does it after another start', () => {
    const clock = new WallClock(NOON_MS);
    clock.forgetOutage();
    expect(clock.checkpointUnixMs(HOUR_MS)).toBe(UNKNOWN);
    expect(clock.set(NOON_MS + 3 * HOUR_MS, HOUR_MS)).toBe(0);
    expect(clock.checkpointUnixMs(2 * HOUR_MS)).toBe(NOON_MS + 4 * HOUR_MS);
  });

  it('stays behind the checkpoints of a start that no laptop came to, however many', () => {
    const runs = fc.array(fc.record({ onMs: fc.nat(5 * HOUR_MS), offMs: fc.nat(5 * HOUR_MS) }), {
      minLength: 1,
      maxLength: 10,
    });
    holds(
      fc.property(runs, (all) => {
        let checkpointMs = NOON_MS;
        let nowMs = NOON_MS;
        let offMs = 0;
        let clock = new WallClock(checkpointMs);
        let uptimeMs = 0;
        for (const run of all) {
          nowMs += run.offMs;
          offMs += run.offMs;
          clock = new WallClock(checkpointMs);
          uptimeMs = run.onMs;
          nowMs += uptimeMs;
          checkpointMs = clock.checkpointUnixMs(uptimeMs);
          expect(checkpointMs).toBe(nowMs - offMs);
        }
        expect(clock.set(nowMs, uptimeMs)).toBe(offMs);
        expect(clock.checkpointUnixMs(uptimeMs)).toBe(nowMs);
      }),
    );
  });

  it('is not made up by a checkpoint of a board that never knew the time', () => {
    expect(new WallClock(UNKNOWN).checkpointUnixMs(HOUR_MS)).toBe(UNKNOWN);
  });
});
