/** What is due when in the emulated chip: by time, and of what is due at once the first that was asked for. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ChipClock } from '../../firmware/bench/chip/clock';
import { holds } from '../properties';

const END_NANOS = 4;
const step = fc.record({
  alarm: fc.nat(5),
  /** From the start on; null: called off. */
  nanos: fc.option(fc.nat(END_NANOS)),
});

describe("the alarms of the chip's clock", () => {
  it('come each once at its own time, in order, whatever was put off or called off before', () => {
    holds(
      fc.property(fc.array(step), (steps) => {
        const clock = new ChipClock();
        const came: [number, number][] = [];
        const alarms = Array.from({ length: 6 }, (_, i) =>
          clock.createAlarm(() => came.push([i, clock.nanos])),
        );
        const due = new Map<number, number>();
        for (const { alarm, nanos } of steps) {
          // The one asked for last is the last of those at the same time.
          due.delete(alarm);
          if (nanos === null) alarms[alarm]?.cancel();
          else {
            alarms[alarm]?.schedule(nanos);
            due.set(alarm, nanos);
          }
          expect(clock.nextNanos).toBe(Math.min(Number.POSITIVE_INFINITY, ...due.values()));
        }
        clock.tick(END_NANOS);
        expect(came).toEqual([...due].sort((a, b) => a[1] - b[1]));
        expect(clock.nextNanos).toBe(Number.POSITIVE_INFINITY);
      }),
    );
  });

  it('may ask for themselves again, at once too', () => {
    const clock = new ChipClock();
    const came: number[] = [];
    const alarm = clock.createAlarm(() => {
      came.push(clock.nanos);
      if (came.length < 4) alarm.schedule(came.length === 2 ? 0 : 10);
    });
    alarm.schedule(5);
    clock.tick(100);
    expect(came).toEqual([5, 15, 15, 25]);
    expect(clock.nanos).toBe(100);
  });
});
