import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AlarmMemory } from '../../firmware/guard/alarm-bank';
import { VALUE_BYTES_MAX } from '../../firmware/storage/settings-record';
import { packAlarms, unpackAlarms } from '../../firmware/tray/alarm-memory';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { holds } from '../properties';

/** Ten years of seconds either way, ms: an outage may be longer than the controller has ever run. */
const timeMs = fc.integer({ min: -3e8, max: 3e8 }).map((s) => s * 1000);
const single = fc.float().map((number) => Math.fround(number));
const anyMemories: fc.Arbitrary<readonly AlarmMemory[]> = fc
  .subarray([...ALARM_NAMES])
  .chain((names) =>
    fc.tuple(
      ...names.map((name) =>
        fc.record({
          name: fc.constant(name),
          raisedMs: timeMs,
          endedMs: fc.oneof(timeMs, fc.constant(Number.NaN)),
          untoldForGood: fc.boolean(),
          value: single,
          limit: single,
        }),
      ),
    ),
  );
const zeroMs = fc.nat(1e9).map((s) => s * 1000);

describe('what flash remembers of alarms', () => {
  it('comes back as it was, the times counted from the new start', () => {
    holds(
      fc.property(anyMemories, zeroMs, zeroMs, (before, zero, later) => {
        const back = unpackAlarms(packAlarms(before, zero), later);
        expect(back).toEqual(
          before.map((one) => ({
            ...one,
            raisedMs: one.raisedMs + zero - later,
            endedMs: one.endedMs + zero - later,
          })),
        );
      }),
    );
  });

  it('fits one settings record with every alarm standing', () => {
    const all = ALARM_NAMES.map((name) => ({
      name,
      raisedMs: 0,
      endedMs: 0,
      untoldForGood: false,
      value: 1,
      limit: 2,
    }));
    const packed = packAlarms(all, 0);
    expect(packed.length).toBeLessThanOrEqual(VALUE_BYTES_MAX);
    expect(unpackAlarms(packed, 0)).toHaveLength(ALARM_NAMES.length);
  });

  it('is the same bytes while nothing happens, however old it grows: it need not be written again', () => {
    const memory: AlarmMemory = {
      name: 'too-dry',
      raisedMs: 12_345,
      endedMs: Number.NaN,
      untoldForGood: false,
      value: 1,
      limit: 2,
    };
    const later = packAlarms([{ ...memory, raisedMs: memory.raisedMs - 86_400_000 }], 86_400_000);
    expect(later).toEqual(packAlarms([memory], 0));
  });

  it('is taken from a newer firmware as far as it is known, and not from another layout', () => {
    const [known] = unpackAlarms(
      Uint8Array.from(Array(20).fill(0)).fill(1, 0, 1).fill(18, 1, 2),
      0,
    );
    expect(known?.name).toBe(ALARM_NAMES[0]);
    // An alarm with a later number, then an entry that has grown.
    const grown = new Uint8Array(2 + 2 * 20);
    grown.set([1, 20, 250]);
    grown[2 + 20] = 3;
    expect(unpackAlarms(grown, 0).map(({ name }) => name)).toEqual([ALARM_NAMES[3]]);
    expect(unpackAlarms(Uint8Array.of(2, 18), 0)).toEqual([]);
    expect(unpackAlarms(new Uint8Array(0), 0)).toEqual([]);
  });
});
