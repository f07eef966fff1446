import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { WATER_LIMITS } from '../../firmware/limits';
import { VALUE_BYTES_MAX } from '../../firmware/storage/settings-record';
import {
  CHECKPOINT_BYTES,
  emptyRunState,
  packCheckpoint,
  type RunState,
  unpackCheckpoint,
} from '../../firmware/tray/checkpoint';
import { sumDay } from '../../firmware/tray/water-account';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { holds } from '../properties';

const anyNumber = fc.double();
const ml = fc.double({ min: 0, max: 60_000, noNaN: true });

const anyRun: fc.Arbitrary<RunState> = fc
  .record({
    slot: fc.constantFrom(0, 1),
    profileId: fc.integer({ min: 0, max: 0xffff_ffff }),
    stage: fc.nat(255),
    staying: fc.boolean(),
    stageRunMs: anyNumber,
    totalRunMs: anyNumber,
    unixMs: anyNumber,
    capacityG: anyNumber,
    dryG: anyNumber,
    dryWeighed: fc.boolean(),
    shiftG: anyNumber,
    settledG: anyNumber,
    pendingMl: anyNumber,
    rescued: fc.boolean(),
    unproved: fc.nat(WATER_LIMITS.unprovedMax - 1),
    transplantHoldMs: anyNumber,
    sinceSoakedMs: anyNumber,
    stageMl: anyNumber,
    usedMl: anyNumber,
    pumpRunMs: anyNumber,
    hour: fc.nat(WATER_LIMITS.dayHours - 1),
    hourMs: anyNumber,
    dayMl: fc.constant(0),
    hoursMl: fc.array(ml, { minLength: WATER_LIMITS.dayHours, maxLength: WATER_LIMITS.dayHours }),
    faultRestarts: fc.array(anyNumber, { minLength: 3, maxLength: 3 }),
    alarmStates: fc.array(fc.nat(2), {
      minLength: ALARM_NAMES.length,
      maxLength: ALARM_NAMES.length,
    }),
  })
  .map((run) => {
    const state: RunState = {
      ...run,
      hoursMl: Float64Array.from(run.hoursMl),
      faultRestarts: Float64Array.from(run.faultRestarts),
      alarmStates: Uint8Array.from(run.alarmStates),
    };
    sumDay(state);
    return state;
  });

const packed = (state: RunState): Uint8Array => {
  const bytes = new Uint8Array(CHECKPOINT_BYTES);
  packCheckpoint(state, bytes);
  return bytes;
};

describe('the checkpoint', () => {
  it('brings the run state back as it was, water rounded up to whole millilitres', () => {
    holds(
      fc.property(anyRun, (before) => {
        const after = emptyRunState();
        expect(unpackCheckpoint(packed(before), after)).toBe(true);
        const { hoursMl, dayMl, ...rest } = after;
        const { hoursMl: hoursBefore, dayMl: dayBefore, ...restBefore } = before;
        expect(rest).toEqual(restBefore);
        expect(hoursMl).toEqual(hoursBefore.map((one) => Math.ceil(one)));
        expect(dayMl).toBeGreaterThanOrEqual(dayBefore - 1e-6);
        expect(dayMl).toBe(hoursMl.reduce((sum, one) => sum + one, 0));
      }),
    );
  });

  it('does not drift: packed again it is the same, however often the power is cut', () => {
    holds(
      fc.property(anyRun, (state) => {
        const once = packed(state);
        const after = emptyRunState();
        unpackCheckpoint(once, after);
        expect(packed(after)).toEqual(once);
      }),
    );
  });

  it('knows a new tray from the empty state: nothing sown, nothing weighed, nothing given', () => {
    const after = emptyRunState();
    expect(unpackCheckpoint(packed(emptyRunState()), after)).toBe(true);
    expect(after).toEqual(emptyRunState());
  });

  it('fits one settings record', () => {
    expect(CHECKPOINT_BYTES).toBeLessThanOrEqual(VALUE_BYTES_MAX);
  });

  it('of another length, version or hour is refused, and the state stays as it was', () => {
    holds(
      fc.property(anyRun, (state) => {
        const good = packed(state);
        const changed = (at: number, value: number) => {
          const bytes = good.slice();
          bytes[at] = value;
          return bytes;
        };
        const refused = [
          good.subarray(1),
          new Uint8Array(0),
          new Uint8Array(CHECKPOINT_BYTES + 1),
          new Uint8Array(CHECKPOINT_BYTES),
          new Uint8Array(CHECKPOINT_BYTES).fill(0xff),
          changed(0, 2),
          changed(3, WATER_LIMITS.dayHours),
        ];
        for (const bytes of refused) {
          const run = emptyRunState();
          expect(unpackCheckpoint(bytes, run)).toBe(false);
          expect(run).toEqual(emptyRunState());
        }
      }),
      { numRuns: 20 },
    );
  });
});
