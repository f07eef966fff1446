/** The simulated board keeps the runtime's promises whatever the firmware does. */
import { describe, expect, it } from 'vitest';
import { type Bench, createBench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import { DOOR, LIMITER } from '../../shared/board/map';
import { PROBES } from '../../shared/board/probes';
import { HOUR_MS } from '../../shared/units/time';
import { benchWith, matOn } from './scripted-bench';

describe('restarts', () => {
  it('follow an exception, with every output off and the firmware made anew', () => {
    let ticks = 0;
    const bench = benchWith((board) => {
      ticks++;
      if (ticks < 4) board.leaseMat(10_000);
      if (ticks === 3) throw new RangeError('out of stack');
    });
    bench.run(3000);
    expect(bench.board.resetCause()).toBe('exception');
    expect(bench.board.clockMs()).toBe(0);
    expect(matOn(bench)).toBe(false);
    expect(bench.state().lastBoot?.error).toContain('out of stack');
  });

  it('follow a firmware that is not called for eight seconds; leases run out before', () => {
    const bench = benchWith((board) => board.leasePump(2000));
    bench.run(5000);
    bench.fault('board-hung', true, 20_000);
    bench.run(3000);
    expect(bench.state().outputs.pump).toBe(false);
    bench.run(6000);
    expect(bench.board.resetCause()).toBe('watchdog');
  });

  it('follow a request, once, and count uptime from zero', () => {
    let asked = false;
    const bench = benchWith((board) => {
      if (asked || board.clockMs() < 5000) return;
      asked = true;
      board.restart();
    });
    bench.run(7000);
    expect(bench.boots.map((boot) => boot.cause)).toEqual(['power-on', 'request']);
    expect(bench.board.clockMs()).toBe(2000);
  });

  it('are tried again while the start itself fails', () => {
    let starts = 0;
    const bench = createBench({
      seed: 1,
      firmware: () => {
        if (++starts < 4) throw new Error('settings unreadable');
        return { tick: () => {}, rest: () => {}, receive: () => {} };
      },
    });
    bench.run(10_000);
    expect(starts).toBe(4);
  });
});

describe('the mains', () => {
  it('take mat, pump and board along, while the room goes on, and come back as power-on', () => {
    const bench = benchWith((board) => board.leaseMat(10_000));
    bench.hand.soak();
    bench.run(4 * HOUR_MS);
    const warmC = bench.state().rootZoneC;
    bench.cutPower();
    expect(bench.state().outputs.mat).toBe(false);
    bench.run(2 * HOUR_MS);
    expect(bench.state().rootZoneC).toBeLessThan(warmC - 1);
    bench.restorePower();
    bench.run(5000);
    expect(bench.board.resetCause()).toBe('power-on');
    expect(bench.board.clockMs()).toBe(5000);
    expect(bench.nowMs).toBe(6 * HOUR_MS + 5000);
  });

  it('come back by themselves after the time a cut was called for', () => {
    const bench = benchWith(() => {});
    bench.fault('mains-cut', true, 2 * HOUR_MS);
    bench.run(2 * HOUR_MS + 2000);
    expect(bench.state().powered).toBe(true);
    expect(bench.boots).toHaveLength(2);
  });

  it('come back to the millisecond, also after a cut shorter than the step of the plant', () => {
    const bench = benchWith(() => {});
    bench.run(10_250);
    bench.fault('mains-cut', true, 300);
    bench.run(299);
    expect(bench.state().powered).toBe(false);
    bench.run(1);
    expect(bench.state().powered).toBe(true);
    bench.fault('mains-cut', true, 70_450);
    bench.run(200_000);
    expect(bench.boots.map(({ atMs }) => atMs)).toEqual([0, 10_550, 81_000]);
  });

  it('do not feel a fault that came and went between two ticks', () => {
    const codes: number[] = [];
    const bench = benchWith((board) => codes.push(board.readProbe(PROBES.rootZone.channel)));
    bench.run(5_100);
    bench.fault('probe-open', true, 600);
    bench.run(5_000);
    expect(codes).toHaveLength(10);
    expect(Math.max(...codes)).toBeLessThan(LIMITER.openCode);
    bench.fault('probe-open', true, 1_000);
    bench.run(5_000);
    expect(codes.filter((code) => code > LIMITER.openCode)).toHaveLength(1);
  });

  it('may go in the middle of writing flash; what was written before stays', () => {
    const bench = benchWith((board) => {
      if (board.clockMs() === 1000) board.flashProgram(0x100000, Uint8Array.of(1));
      if (board.clockMs() === 2000) board.flashProgram(0x100100, Uint8Array.of(2));
    });
    bench.flash.cutPowerAt(2);
    bench.run(5000);
    expect(bench.state().powered).toBe(false);
    bench.restorePower();
    expect(bench.state().powered).toBe(true);
    expect(bench.flash.bytes[0x100000]).toBe(1);
  });
});

describe('the link', () => {
  const echo = (): Bench => {
    let board: Board | null = null;
    return createBench({
      seed: 6,
      firmware: (given) => {
        board = given;
        return {
          tick: () => {},
          rest: () => {},
          receive: (door, bytes) => void board?.send(door, bytes),
        };
      },
    });
  };

  it('answers at once, while time stands still', () => {
    const heard: number[] = [];
    const bench = echo();
    const end = bench.connect((bytes) => void heard.push(...bytes));
    end?.write(Uint8Array.of(1, 2, 3));
    expect(heard).toEqual([1, 2, 3]);
    expect(bench.nowMs).toBe(0);
  });

  it('has two doors, each for one at a time', () => {
    const bench = echo();
    const usb = bench.connect(() => true);
    expect(bench.connect(() => true)).toBeNull();
    expect(bench.connect(() => true, DOOR.uart)).not.toBeNull();
    usb?.close();
    expect(bench.connect(() => true)).not.toBeNull();
  });

  it('is silent without mains', () => {
    const heard: number[] = [];
    const bench = echo();
    const end = bench.connect((bytes) => void heard.push(...bytes));
    bench.cutPower();
    end?.write(Uint8Array.of(1));
    expect(heard).toEqual([]);
  });

  it('flips and loses bytes under noise, and few enough that lines get through', () => {
    const bench = echo();
    let intact = 0;
    const line = Uint8Array.from({ length: 100 }, (_, i) => i);
    const end = bench.connect((bytes) => {
      if (bytes.length === 100 && bytes.every((byte, i) => byte === i)) intact++;
      return true;
    });
    bench.fault('link-noise');
    for (let i = 0; i < 200; i++) end?.write(line);
    expect(intact).toBeGreaterThan(60);
    expect(intact).toBeLessThan(180);
  });
});

describe('a run', () => {
  const readings = (seed: number): number[] => {
    const codes: number[] = [];
    const bench = createBench({
      seed,
      firmware: (board) => ({
        tick: () => {
          codes.push(board.readProbe(0), board.readScale());
          board.leaseMat(board.readProbe(0) > 2000 ? 10_000 : 0);
        },
        rest: () => {},
        receive: () => {},
      }),
    });
    bench.hand.soak();
    bench.run(HOUR_MS);
    return codes;
  };

  it('is the same for the same seed, and another for another', () => {
    expect(readings(8)).toEqual(readings(8));
    expect(readings(8)).not.toEqual(readings(9));
  });

  it('is the same in one piece or in many', () => {
    const inPieces = createBench({
      seed: 3,
      firmware: (board) => ({
        tick: () => board.leaseMat(5000),
        rest: () => {},
        receive: () => {},
      }),
    });
    const whole = createBench({
      seed: 3,
      firmware: (board) => ({
        tick: () => board.leaseMat(5000),
        rest: () => {},
        receive: () => {},
      }),
    });
    for (let i = 0; i < 600; i++) inPieces.run(1000);
    whole.run(600_000);
    expect(inPieces.state()).toEqual(whole.state());
  });
});
