import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { STEP_KINDS } from '../../firmware/control/ledger';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../../firmware/limits';
import { VALUE_BYTES_MAX } from '../../firmware/storage/settings-record';
import {
  CHECKPOINT_BYTES,
  CHECKPOINT_MIN_BYTES,
  CheckpointPacker,
  unpackCheckpoint,
} from '../../firmware/tray/checkpoint';
import { emptyRunState, type RunState } from '../../firmware/tray/run-state';
import { sumDay } from '../../firmware/tray/water-account';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { probeFields } from '../../shared/board/probes';
import { holds } from '../properties';

const anyNumber = fc.double();
const ml = fc.double({ min: 0, max: 60_000, noNaN: true });
const hours = WATER_LIMITS.dayHours;
const steps = WEIGHT_LIMITS.ledgerMax;
const restarts = emptyRunState().service.faultRestarts.length;

const anyRun: fc.Arbitrary<RunState> = fc
  .record({
    program: fc.record({
      slot: fc.constantFrom(0, 1),
      profileId: fc.integer({ min: 0, max: 0xffff_ffff }),
    }),
    progress: fc.record({
      stage: fc.nat(255),
      staying: fc.boolean(),
      stageRunMs: anyNumber,
      transplantHoldMs: anyNumber,
      sinceEmergedMs: anyNumber,
      pieces: anyNumber,
    }),
    weights: fc.record({
      capacityG: anyNumber,
      dryG: anyNumber,
      dryWeighed: fc.boolean(),
      sinceSoakedMs: anyNumber,
      growthGPerMs: anyNumber,
      plantsG: anyNumber,
      shiftG: anyNumber,
      settledG: anyNumber,
      handled: fc.boolean(),
      unweighedStarts: anyNumber,
      stepsG: fc
        .array(anyNumber, { minLength: steps, maxLength: steps })
        .map((all) => Float64Array.from(all)),
      stepKinds: fc
        .array(fc.nat(STEP_KINDS.length - 1), { minLength: steps, maxLength: steps })
        .map((all) => Uint8Array.from(all)),
      ownWater: fc.nat(2 ** steps - 1),
      hidesG: anyNumber,
      hidesAtRunMs: anyNumber,
      stepAfterG: anyNumber,
      stepAtRunMs: anyNumber,
      paidG: anyNumber,
      paidPlace: anyNumber,
    }),
    watered: fc.record({ sinceByHandMs: anyNumber, drains: fc.boolean() }),
    account: fc.record({
      hoursMl: fc
        .array(ml, { minLength: hours, maxLength: hours })
        .map((all) => Float64Array.from(all)),
      hour: fc.nat(hours - 1),
      hourMs: anyNumber,
      dayMl: fc.constant(0),
      stageMl: anyNumber,
      usedMl: anyNumber,
      pumpRunMs: anyNumber,
    }),
    dosing: fc.record({
      pendingMl: anyNumber,
      rescued: fc.boolean(),
      opened: fc.boolean(),
    }),
    proofs: fc.record({
      unproved: fc.nat(WATER_LIMITS.unprovedMax - 1),
      ranOff: fc.nat(WATER_LIMITS.unprovedMax - 1),
      pumpShare: anyNumber,
      pumpScatter: anyNumber,
    }),
    reservoir: fc.record({
      filledMl: anyNumber,
      feedEc: anyNumber,
      filledAtRunMs: anyNumber,
      plantsMl: anyNumber,
      plantsSaltsMg: anyNumber,
      eachMl: anyNumber,
      eachSaltsMg: anyNumber,
    }),
    service: fc.record({
      totalRunMs: anyNumber,
      unixMs: anyNumber,
      rootZoneC: anyNumber,
      waterHeldMs: anyNumber,
      outOfBandMs: anyNumber,
      trendRoseK: anyNumber,
      trendForMin: anyNumber,
      ...probeFields('curve', () => anyNumber),
      faultRestarts: fc
        .array(anyNumber, { minLength: restarts, maxLength: restarts })
        .map((all) => Float64Array.from(all)),
      alarmStates: fc
        .array(fc.nat(2), { minLength: ALARM_NAMES.length, maxLength: ALARM_NAMES.length })
        .map((all) => Uint8Array.from(all)),
    }),
  })
  .map((state) => {
    sumDay(state.account);
    return state;
  });

const packed = (state: RunState): Uint8Array => {
  const bytes = new Uint8Array(CHECKPOINT_BYTES);
  new CheckpointPacker().pack(state, bytes);
  return bytes;
};

describe('the checkpoint', () => {
  it('brings the run state back as it was, water rounded up to whole millilitres', () => {
    holds(
      fc.property(anyRun, (before) => {
        const after = emptyRunState();
        expect(unpackCheckpoint(packed(before), after)).toBe(true);
        const { hoursMl, dayMl } = after.account;
        expect(hoursMl).toEqual(before.account.hoursMl.map((one) => Math.ceil(one)));
        expect(dayMl).toBeGreaterThanOrEqual(before.account.dayMl - 1e-6);
        expect(dayMl).toBe(hoursMl.reduce((sum, one) => sum + one, 0));
        const account = { ...before.account, hoursMl, dayMl };
        expect(after).toEqual({ ...before, account });
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

  it('of an older firmware leaves what it does not have as on a new tray', () => {
    holds(
      fc.property(anyRun, fc.nat(CHECKPOINT_BYTES - CHECKPOINT_MIN_BYTES), (before, missing) => {
        const older = packed(before).subarray(0, CHECKPOINT_BYTES - missing);
        const after = emptyRunState();
        expect(unpackCheckpoint(older, after)).toBe(true);
        expect(after.program).toEqual(before.program);
        expect(after.progress.stage).toBe(before.progress.stage);
        expect(after.weights.capacityG).toEqual(before.weights.capacityG);
      }),
    );
  });

  it('of a newer firmware is taken too: what it added is left alone', () => {
    holds(
      fc.property(anyRun, fc.uint8Array({ minLength: 1, maxLength: 64 }), (before, added) => {
        const newer = new Uint8Array([...packed(before), ...added]);
        const [one, other] = [emptyRunState(), emptyRunState()];
        expect(unpackCheckpoint(newer, one)).toBe(true);
        unpackCheckpoint(packed(before), other);
        expect(one).toEqual(other);
      }),
    );
  });

  it('too short, or of another version or hour, is refused, and the state stays as it was', () => {
    holds(
      fc.property(anyRun, (state) => {
        const good = packed(state);
        const changed = (at: number, value: number) => {
          const bytes = good.slice();
          bytes[at] = value;
          return bytes;
        };
        const refused = [
          good.subarray(0, CHECKPOINT_MIN_BYTES - 1),
          new Uint8Array(0),
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
