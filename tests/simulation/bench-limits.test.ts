/** Leases and the limiter of the simulated board hold as the runtime's do, whatever the firmware asks. */
import { describe, expect, it } from 'vitest';
import { createBench } from '../../firmware/bench/bench';
import { LIMITER } from '../../shared/board/map';
import { MAT_LOOKED, type MatLooked, OUTPUT } from '../../shared/board/words';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { benchWith, matOn } from './scripted-bench';

describe('leases', () => {
  it('drop the mat ten seconds after the last one, and not before', () => {
    let asks = true;
    const bench = benchWith((board) => {
      if (asks) board.leaseMat(60_000);
    });
    bench.run(5000);
    asks = false;
    bench.run(9000);
    expect(matOn(bench)).toBe(true);
    bench.run(1000);
    expect(matOn(bench)).toBe(false);
  });

  it('give the pump exactly its milliseconds, also those of a fraction of a second', () => {
    const leases = [2000, 0, 1000, 337, 0, 1, 0];
    const bench = benchWith((board) => {
      const ms = leases.shift();
      if (ms !== undefined) board.leasePump(ms);
    });
    bench.run(20_000);
    // 2000 is cut short by the 0 after one second.
    expect(bench.rig.plant.pump.ranMs).toBe(1000 + 1000 + 337 + 1);
  });

  it('are none for what is no number of milliseconds', () => {
    const bench = benchWith((board) => {
      board.leaseMat(Number.NaN);
      board.leasePump(-5);
    });
    bench.run(3000);
    expect(bench.board.outputs()).toBe(0);
  });
});

describe('the limiter', () => {
  const alwaysHeating = () => benchWith((board) => board.leaseMat(10_000));

  it.each([
    ['probe-open', OUTPUT.limiterRootZone],
    ['probe-short', OUTPUT.limiterRootZone],
    ['mat-probe-open', OUTPUT.limiterMat],
  ] as const)('opens the mat on %s whatever the firmware asks', (fault, bit) => {
    const bench = alwaysHeating();
    bench.run(10_000);
    expect(matOn(bench)).toBe(true);
    bench.fault(fault);
    bench.run(1000);
    expect(matOn(bench)).toBe(false);
    expect(bench.board.outputs() & bit).toBe(bit);
  });

  it('never lets a strong mat take the root zone past 40 C by more than the mat still holds', () => {
    const bench = createBench({
      seed: 2,
      mat: { fluxWM2: 600 },
      firmware: (board) => ({
        tick: () => board.leaseMat(10_000),
        rest: () => {},
        receive: () => {},
      }),
    });
    bench.hand.soak();
    bench.run(48 * HOUR_MS);
    expect(bench.state().rootZoneC).toBeGreaterThan(35);
    expect(bench.state().rootZoneC).toBeLessThan(40.5);
  });

  it('gives the pump ten minutes in each hour and no more', () => {
    const bench = benchWith((board) => board.leasePump(2000));
    bench.run(HOUR_MS - 1000);
    expect(bench.rig.plant.pump.ranMs).toBe(LIMITER.pumpMaxMsPerHour);
    expect(bench.board.outputs() & OUTPUT.pumpHourSpent).toBe(OUTPUT.pumpHourSpent);
    bench.run(HOUR_MS);
    expect(bench.rig.plant.pump.ranMs).toBeGreaterThan(LIMITER.pumpMaxMsPerHour);
    expect(bench.rig.plant.pump.ranMs).toBeLessThanOrEqual(2 * LIMITER.pumpMaxMsPerHour);
  });

  it('nor more when the board restarts in between; a power cut alone begins anew', () => {
    const bench = benchWith((board) => board.leasePump(2000));
    bench.run(HOUR_MS / 4);
    bench.reset('watchdog');
    bench.run(HOUR_MS / 4);
    expect(bench.rig.plant.pump.ranMs).toBe(LIMITER.pumpMaxMsPerHour);
    bench.cutPower();
    bench.restorePower();
    bench.run(HOUR_MS / 4);
    expect(bench.rig.plant.pump.ranMs).toBe(2 * LIMITER.pumpMaxMsPerHour);
  });

  it('leaves the line to the looks at the mat once the pump has run all it may, asked for or not', () => {
    const looks: MatLooked[] = [];
    const bench = benchWith((board) => {
      board.leaseMat(10_000);
      board.leasePump(2000);
      looks.push(board.takeMatLook());
    });
    bench.run(LIMITER.pumpMaxMsPerHour);
    expect(looks).not.toContain(MAT_LOOKED.asAsked);
    bench.run(MINUTE_MS);
    expect(looks).toContain(MAT_LOOKED.asAsked);
  });
});
