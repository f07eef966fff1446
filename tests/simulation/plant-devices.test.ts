/** Probe, scale and pump of the plant against data-sheet figures and common practice. */
import { describe, expect, it } from 'vitest';
import { LOAD_CELL, LoadCell } from '../../firmware/bench/plant/load-cell';
import { PROBE_PLACES } from '../../firmware/bench/plant/probes';
import { PUMP, Pump } from '../../firmware/bench/plant/pump';
import { Thermistor } from '../../firmware/bench/plant/thermistor';
import { Random } from '../../firmware/bench/random';
import { SCALE_CODE_MAX } from '../../shared/board/map';
import { temperatureFromCode } from '../../shared/physics/ntc';

const PROBE = { ...PROBE_PLACES.rootZone.bead, offsetK: 0 };
const IDEAL_CELL = { ...LOAD_CELL, zeroShare: 0, spanShare: 0, platformG: 0, zeroGPerK: 0 };

function spread(values: readonly number[]): { mean: number; sd: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.sqrt(squares / (values.length - 1)) };
}

describe('the load cell', () => {
  it.each([
    [10_000, 1, 214.7],
    [10_000, 2, 429.5],
    [5_000, 2, 859],
  ])('of %d g and %d mV/V gives %d counts a gram', (capacityG, ratedMvV, countsPerG) => {
    const cell = new LoadCell({ ...IDEAL_CELL, capacityG, ratedMvV });
    expect(cell.countsPerG).toBeCloseTo(countsPerG, 0);
  });

  it('trembles by 50 nV rms: 0.1 g on 10 kg at 1 mV/V and 5 V', () => {
    const cell = new LoadCell({ ...IDEAL_CELL, supplyV: 5 });
    const random = new Random(3);
    const grams = Array.from({ length: 20_000 }, () => cell.code(4000, 1, random) / 214.748);
    const { mean, sd } = spread(grams);
    expect(sd).toBeCloseTo(0.1, 2);
    expect(mean).toBeCloseTo(4000, 1);
  });

  it('creeps by 0.03 % of the load within half an hour, and back when the load has gone', () => {
    const cell = new LoadCell({ ...IDEAL_CELL, noiseNv: 0 });
    const random = new Random(1);
    const grams = (loadG: number) => cell.code(loadG, 1, random) / cell.countsPerG;
    expect(grams(5000)).toBeCloseTo(5000, 2);
    for (let s = 0; s < 1800; s++) cell.step(1, 5000);
    expect(grams(5000) - 5000).toBeGreaterThan(1.35);
    expect(grams(5000) - 5000).toBeLessThan(1.5);
    for (let s = 0; s < 7200; s++) cell.step(1, 0);
    expect(grams(0)).toBeCloseTo(0, 2);
  });

  it('moves its zero with the temperature, not its span', () => {
    const cell = new LoadCell({ ...IDEAL_CELL, noiseNv: 0, zeroGPerK: 0.3 });
    const random = new Random(1);
    cell.setTemperature(30);
    expect(cell.code(0, 1, random) / cell.countsPerG).toBeCloseTo(3, 2);
    expect(cell.code(1000, 1, random) / cell.countsPerG).toBeCloseTo(1003, 2);
  });

  it('saturates instead of wrapping round', () => {
    const cell = new LoadCell({ ...IDEAL_CELL, capacityG: 1000, ratedMvV: 4, stopShare: 10 });
    expect(cell.code(9000, 1, new Random(1))).toBe(SCALE_CODE_MAX);
  });

  it('rests on its overload stop', () => {
    const cell = new LoadCell({ ...IDEAL_CELL, noiseNv: 0 });
    const random = new Random(1);
    expect(cell.code(16_000, 1, random)).toBe(cell.code(20_000, 1, random));
  });
});

describe('the probe', () => {
  it('reads its surroundings within the self-heating of a bead in wet wool', () => {
    const probe = new Thermistor(PROBE, 25);
    const random = new Random(5);
    const readings = Array.from({ length: 2000 }, () => temperatureFromCode(probe.code(random)));
    const { mean, sd } = spread(readings);
    // 272 uW at 25 C over 8 mW/K.
    expect(mean - 25).toBeCloseTo(0.272 / 8, 2);
    expect(sd).toBeGreaterThan(0.001);
    expect(sd).toBeLessThan(0.02);
  });

  it('warms itself by 136 mK in still air at 2 mW/K', () => {
    const probe = new Thermistor(PROBE, 25);
    probe.setInAir(true);
    const random = new Random(5);
    const readings = Array.from({ length: 2000 }, () => temperatureFromCode(probe.code(random)));
    expect(spread(readings).mean - 25).toBeCloseTo(0.136, 2);
  });

  it('follows with its lag: 63 % of a step after one time constant', () => {
    const probe = new Thermistor(PROBE, 20);
    for (let s = 0; s < PROBE.lagS; s++) probe.step(1, 30);
    expect(probe.beadC).toBeGreaterThan(26);
    expect(probe.beadC).toBeLessThan(26.6);
  });
});

describe('the pump', () => {
  const FRESH = { ...PUMP, mlPerS: 1, tubeMl: 5, startLagMs: 100 };

  function primed(): Pump {
    const pump = new Pump(FRESH);
    pump.run(10_000, 10_000, 1, false);
    pump.run(0, 1000, 1, false);
    return pump;
  }

  it('fills its tube before anything reaches the tray', () => {
    const pump = new Pump(FRESH);
    expect(pump.run(1000, 1000, 1, false)).toBe(0);
    expect(pump.run(9000, 9000, 1, false)).toBeCloseTo(9.9 - 5, 6);
  });

  it('gives the flow of the time it runs, less the lag of each start', () => {
    const pump = primed();
    expect(pump.run(500, 1000, 1, false)).toBeCloseTo(0.4, 6);
    expect(pump.run(1000, 1000, 1, false)).toBeCloseTo(0.9, 6);
    expect(pump.run(1000, 1000, 1, false)).toBeCloseTo(1, 6);
  });

  it('empties the tube when it draws air, then gives nothing', () => {
    const pump = primed();
    let ml = 0;
    for (let s = 0; s < 20; s++) ml += pump.run(1000, 1000, 1, true);
    expect(ml).toBeCloseTo(5, 6);
  });

  it('loses most of its wear in its first hours of running', () => {
    const pump = new Pump({ ...FRESH, reservoirMl: 1e9 });
    const flowAfter = (hours: number): number => {
      for (let s = 0; s < hours * 3600; s++) pump.run(1000, 1000, 1, false);
      pump.update();
      return pump.mlPerS;
    };
    const after10h = flowAfter(10);
    const after20h = flowAfter(10);
    expect(1 - after10h).toBeGreaterThan(0.05);
    expect(1 - after20h).toBeLessThan(0.2);
    expect(after10h - after20h).toBeLessThan(1 - after10h);
  });
});
