/** A bench that leaves out ticks while nothing happens: what the firmware sees then, and what it does not miss. */
import { describe, expect, it } from 'vitest';
import {
  Bench,
  type BenchOptions,
  CALM_SOON_MS,
  CALM_TICK_MS,
  CALMEST_TICK_MS,
} from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';

/** Weight and probes stand still so long after anything happened. */
const SETTLED_MS = 20 * MINUTE_MS;

/** A bench with a firmware that does `each` tick what it is told, and notes when. */
function noted(
  each: (board: Board) => void = () => {},
  calmTickMs = CALM_TICK_MS,
  calmAfter: Pick<BenchOptions, 'calmAfterMs'> = {},
) {
  const ticksMs: number[] = [];
  const bench: Bench = new Bench({
    seed: 1,
    calmTickMs,
    ...calmAfter,
    firmware: (board) => ({
      tick: () => {
        ticksMs.push(bench.nowMs);
        each(board);
      },
      rest: () => {},
      receive: () => {},
    }),
  });
  /** Times to each tick in the next `ms`, from now or from the tick before it; each that came about once. */
  const gapsIn = (ms: number): readonly number[] => {
    const from = ticksMs.length;
    const before = bench.nowMs;
    bench.run(ms);
    const ticks = ticksMs.slice(from);
    const gaps = ticks.map((atMs, i) => atMs - (ticks[i - 1] ?? before));
    return [...new Set(gaps)].sort((a, b) => a - b);
  };
  return { bench, gapsIn, ticksMs };
}

describe('a bench that leaves out calm ticks', () => {
  it('ticks seldom once nothing has happened for twenty minutes', () => {
    const { bench, gapsIn } = noted();
    bench.run(SECOND_MS);
    expect(gapsIn(SETTLED_MS - 2 * SECOND_MS)).toEqual([SECOND_MS]);
    bench.run(MINUTE_MS + SECOND_MS);
    expect(gapsIn(HOUR_MS)).toEqual([CALM_TICK_MS]);
  });

  it('is calm sooner where it is told so, and after a hand as well', () => {
    const { bench, gapsIn } = noted(undefined, CALM_TICK_MS, { calmAfterMs: CALM_SOON_MS });
    for (const happens of [() => {}, () => bench.hand.setLid('propped')]) {
      happens();
      bench.run(SECOND_MS);
      expect(gapsIn(CALM_SOON_MS - 2 * SECOND_MS)).toEqual([SECOND_MS]);
      bench.run(MINUTE_MS + SECOND_MS);
      expect(gapsIn(HOUR_MS)).toEqual([CALM_TICK_MS]);
    }
  });

  it('ticks every second unless told otherwise', () => {
    const { gapsIn } = noted(undefined, SECOND_MS);
    expect(gapsIn(2 * HOUR_MS)).toEqual([SECOND_MS]);
  });

  const wakers: readonly [string, (bench: Bench) => void][] = [
    ['a hand', (bench) => bench.hand.setLid('propped')],
    ['a fault', (bench) => bench.fault('lid-open', true, MINUTE_MS)],
    ['a restart', (bench) => bench.reset('request')],
  ];
  it.each(wakers)('ticks every second again as soon as there is %s', (_, happens) => {
    const { bench, gapsIn } = noted();
    bench.run(SETTLED_MS + HOUR_MS + 3 * SECOND_MS);
    happens(bench);
    expect(gapsIn(MINUTE_MS)).toEqual([SECOND_MS]);
  });

  it('ticks every second again when what was to come by itself has come', () => {
    const { bench, ticksMs } = noted();
    bench.run(SETTLED_MS + HOUR_MS);
    const inMs = HOUR_MS + 12 * SECOND_MS;
    bench.rig.later('sun', inMs, () => bench.hand.setLid('propped'));
    const dueMs = bench.nowMs + inMs;
    bench.run(2 * HOUR_MS);
    const after = ticksMs.filter((atMs) => atMs > dueMs).slice(0, 5);
    expect(after).toEqual([1, 2, 3, 4, 5].map((s) => dueMs + s * SECOND_MS));
  });

  it('leaves ticks out again once a fault has stood still for twenty minutes', () => {
    const { bench, gapsIn } = noted();
    bench.run(SETTLED_MS + HOUR_MS);
    bench.fault('probe-open');
    expect(gapsIn(SETTLED_MS - MINUTE_MS)).toEqual([SECOND_MS]);
    bench.run(2 * MINUTE_MS);
    expect(gapsIn(HOUR_MS)).toEqual([CALM_TICK_MS]);
    bench.fault('probe-open', false);
    expect(gapsIn(MINUTE_MS)).toEqual([SECOND_MS]);
  });

  it.each(['leak', 'wick', 'siphon', 'pump-stuck-on', 'scale-noisy'] as const)(
    'ticks every second as long as there is a fault that moves something: %s',
    (fault) => {
      const { bench, gapsIn } = noted();
      bench.fault(fault);
      bench.run(2 * SETTLED_MS);
      expect(gapsIn(HOUR_MS)).toEqual([SECOND_MS]);
    },
  );

  it('ticks at the next second when something was asked of the firmware', () => {
    const { bench, ticksMs } = noted();
    const door = bench.connect(() => true);
    bench.run(SETTLED_MS + HOUR_MS + 3 * SECOND_MS);
    door?.write(Uint8Array.of(10));
    const askedMs = bench.nowMs;
    bench.run(SECOND_MS);
    expect(ticksMs.at(-1)).toBe(askedMs + SECOND_MS);
  });

  it.each([0, 500, 1500, CALMEST_TICK_MS + SECOND_MS, Number.NaN])(
    'refuses calm ticks that are %d ms apart',
    (calmTickMs) => {
      expect(() => noted(undefined, calmTickMs)).toThrow(/whole seconds, 1 to 20/);
    },
  );

  it('gives the pump not a millisecond more than it was given', () => {
    let calls = 0;
    const { bench, gapsIn } = noted((board) => {
      calls++;
      if (calls === 2000) board.leasePump(1500);
    });
    bench.run(8 * HOUR_MS);
    expect(bench.state().pump.ranS).toBe(1.5);
    expect(gapsIn(HOUR_MS)).toEqual([CALM_TICK_MS]);
  });

  it.each([
    ['is on in between, as the last tick left it', 4000, true],
    ['is off in between, as the last tick left it', 0, false],
  ])('has a mat that %s', (_, leaseMs, isOn) => {
    const { bench } = noted((board) => board.leaseMat(leaseMs));
    bench.run(SETTLED_MS + HOUR_MS);
    for (let s = 0; s < 25; s++) {
      bench.run(SECOND_MS);
      expect(bench.state().outputs.mat).toBe(isOn);
    }
  });

  it('warms the tray as one does that ticks every second', () => {
    const warmedC = [SECOND_MS, CALM_TICK_MS, CALMEST_TICK_MS].map((calmTickMs) => {
      const { bench } = noted((board) => board.leaseMat(4000), calmTickMs);
      bench.hand.soak();
      bench.run(8 * HOUR_MS);
      return bench.state().rootZoneC;
    });
    expect(warmedC[0]).toBeGreaterThan(24);
    expect(warmedC[1]).toBeCloseTo(warmedC[0] ?? 0, 1);
    expect(warmedC[2]).toBeCloseTo(warmedC[0] ?? 0, 1);
  });

  it('takes the mat from firmware that hangs as soon as one that ticks every second', () => {
    const { bench } = noted((board) => board.leaseMat(4000));
    bench.run(SETTLED_MS + HOUR_MS + 3 * SECOND_MS);
    bench.fault('board-hung');
    bench.run(5 * SECOND_MS);
    expect(bench.state().outputs.mat).toBe(false);
  });
});
