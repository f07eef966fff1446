/** A bench that leaves out ticks while nothing happens: what the firmware sees then, and what it does not miss. */
import { describe, expect, it } from 'vitest';
import { Bench } from '../../firmware/bench/bench';
import {
  CALM_SOON_MS,
  CALM_TICK_MS,
  CALMEST_TICK_MS,
  type CalmBy,
  type PaceOptions,
  STILLEST_TICK_MS,
} from '../../firmware/bench/pace';
import type { Board } from '../../firmware/board';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';

/** Weight and probes stand still so long after anything happened. */
const SETTLED_MS = 20 * MINUTE_MS;

/** A bench with a firmware that does `each` tick what it is told, and notes when. */
function noted(
  each: (board: Board) => void = () => {},
  calmTickMs = CALM_TICK_MS,
  calmAfter: Omit<PaceOptions, 'calmTickMs'> = {},
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

describe('a bench that goes by what the scale carries', () => {
  const LOAD_G = 0.2;
  const calmBy: CalmBy = { by: 'load', mostG: LOAD_G };
  const CALM_AFTER_MS = 150 * SECOND_MS;
  const byLoad = (each?: (board: Board) => void) =>
    noted(each, STILLEST_TICK_MS, { calmAfterMs: CALM_AFTER_MS, calmBy });

  it('ticks once a minute where nothing moves, and gets there in two steps after a hand', () => {
    const { bench, gapsIn } = byLoad();
    bench.run(2 * HOUR_MS);
    expect(gapsIn(HOUR_MS)).toEqual([MINUTE_MS]);
    // It is there for 15 s.
    bench.hand.setLid('propped');
    expect(gapsIn(45 * SECOND_MS)).toEqual([SECOND_MS]);
    bench.run(5 * SECOND_MS);
    expect(gapsIn(MINUTE_MS)).toEqual([5 * SECOND_MS]);
    bench.run(2 * MINUTE_MS + 10 * SECOND_MS);
    expect(gapsIn(HOUR_MS)).toEqual([MINUTE_MS]);
  });

  it('ticks as often as the tray loses a fifth of a gram, whatever takes it', () => {
    const { bench, ticksMs } = byLoad();
    bench.hand.soak();
    bench.hand.setLid('off');
    for (const minutes of [20, 40, 300]) {
      bench.run(minutes * MINUTE_MS);
      const [before, after] = [ticksMs.at(-2) ?? 0, ticksMs.at(-1) ?? 0];
      const lostG = (bench.rig.plant.lossGPerH * (after - before)) / HOUR_MS;
      expect(lostG).toBeLessThan(LOAD_G * 1.05);
      expect(after - before).toBeGreaterThan(SECOND_MS);
    }
    bench.fault('siphon');
    bench.run(10 * MINUTE_MS);
    expect((ticksMs.at(-1) ?? 0) - (ticksMs.at(-2) ?? 0)).toBe(SECOND_MS);
    bench.hand.drainReservoir(0);
    bench.run(HOUR_MS);
    expect((ticksMs.at(-1) ?? 0) - (ticksMs.at(-2) ?? 0)).toBeGreaterThan(SECOND_MS);
  });

  it.each(['board-hung', 'scale-noisy'] as const)('ticks every second with %s', (fault) => {
    const { bench } = byLoad();
    bench.run(HOUR_MS);
    const readings: number[] = [];
    const { board } = bench;
    const sense = board.sense.bind(board);
    board.sense = () => {
      readings.push(bench.nowMs);
      sense();
    };
    bench.fault(fault);
    bench.run(30 * MINUTE_MS);
    expect(readings.length).toBeGreaterThanOrEqual((30 * MINUTE_MS) / SECOND_MS);
  });

  it('starts as soon as the mains are back, however long they were away', () => {
    const { bench } = byLoad();
    bench.run(HOUR_MS);
    bench.fault('mains-cut', true, 3 * HOUR_MS + 7 * SECOND_MS);
    bench.run(5 * HOUR_MS);
    expect(bench.boots.at(-1)?.atMs).toBe(4 * HOUR_MS + 7 * SECOND_MS);
  });

  it('warms the tray as one that ticks every second', () => {
    const warmedC = [
      noted((board) => board.leaseMat(4000), SECOND_MS),
      byLoad((b) => b.leaseMat(4000)),
    ].map(({ bench }) => {
      bench.hand.soak();
      bench.run(8 * HOUR_MS);
      return bench.state().rootZoneC;
    });
    expect(warmedC[1]).toBeCloseTo(warmedC[0] ?? 0, 1);
  });

  it('refuses ticks that are more than a minute apart', () => {
    expect(() => noted(undefined, 61 * SECOND_MS, { calmBy })).toThrow(/1 to 60/);
  });
});
