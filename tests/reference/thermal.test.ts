import { describe, expect, test } from 'vitest';
import {
  forecastC,
  type HeatedTray,
  heatCapacityJPerK,
  heatCycle,
  initialSlopeKPerH,
  steadyRiseK,
  timeConstantS,
  USUAL_LOSS_W_M2K,
} from '../../shared/physics/thermal';

const FLAT_M2 = 0.254 * 0.508;

/** A flat with 4.064 kg of water and 0.356 kg of wool on a mat of `wattPerM2`. */
function flatOn(wattPerM2: number): HeatedTray {
  return {
    powerW: wattPerM2 * FLAT_M2,
    capacityJPerK: heatCapacityJPerK(4064, 356),
    lossWPerK: USUAL_LOSS_W_M2K * FLAT_M2,
  };
}

describe('a flat on a mat (loss 8 to 12 W/m2K: common practice; rise of 6 to 11 K: horticultural extension pages)', () => {
  test('it holds 17.3 kJ/K and has a time constant of 3.73 h', () => {
    expect(flatOn(100).capacityJPerK / 17_300).toBeCloseTo(1, 2);
    expect(timeConstantS(flatOn(100)) / 3600).toBeCloseTo(3.73, 1);
  });

  test.each([
    [60, 6, 1.6],
    [100, 10, 2.7],
    [120, 12, 3.2],
  ])('%d W/m2 lifts it %d K in the end and %d K/h at first', (wattPerM2, riseK, slope) => {
    expect(steadyRiseK(flatOn(wattPerM2))).toBeCloseTo(riseK, 9);
    expect(initialSlopeKPerH(flatOn(wattPerM2))).toBeCloseTo(slope, 1);
  });

  test('15 to 25 Btu/h ft2 (greenhouse floor heating, Rutgers) is 47 to 79 W/m2: 5 to 8 K here', () => {
    const wattPerM2 = (btu: number): number => btu * 3.15459;
    expect(steadyRiseK(flatOn(wattPerM2(15)))).toBeCloseTo(4.7, 1);
    expect(steadyRiseK(flatOn(wattPerM2(25)))).toBeCloseTo(7.9, 1);
  });
});

describe('two-point control of a first-order tray (exact solution)', () => {
  /** Time constant 3.73 h, 12 K above the room at most. */
  const tray: HeatedTray = { powerW: 12, capacityJPerK: 3.73 * 3600, lossWPerK: 1 };

  test('24 +/- 0.5 C in a room at 18 C: 37.4 min on, 37.4 min off, duty 0.500', () => {
    const cycle = heatCycle(tray, { lowC: 23.5, highC: 24.5 }, 18);
    if (!cycle.ok) throw new Error(cycle.why);
    expect(cycle.value.onS / 60 / 37.4).toBeCloseTo(1, 2);
    expect(cycle.value.offS / 60 / 37.4).toBeCloseTo(1, 2);
    expect(cycle.value.dutyShare).toBeCloseTo(0.5, 3);
  });

  test('on and off times land on the edges of the band', () => {
    const band = { lowC: 25.4, highC: 26.2 };
    const cycle = heatCycle(tray, band, 18);
    if (!cycle.ok) throw new Error(cycle.why);
    expect(forecastC(tray, band.lowC, 18, true, cycle.value.onS)).toBeCloseTo(band.highC, 9);
    expect(forecastC(tray, band.highC, 18, false, cycle.value.offS)).toBeCloseTo(band.lowC, 9);
    expect(cycle.value.dutyShare).toBeGreaterThan(0.6);
  });

  test('a band at or above room + 12 K cannot be reached', () => {
    for (const highC of [30, 31]) {
      const verdict = heatCycle(tray, { lowC: 28, highC }, 18);
      expect(verdict.ok ? '' : verdict.why).toMatch(/reaches 30\.0 C at most/);
    }
  });

  test('a band below the room never calls for heat', () => {
    const verdict = heatCycle(tray, { lowC: 17, highC: 18.5 }, 18);
    expect(verdict.ok ? '' : verdict.why).toMatch(/cannot cool/);
  });

  test('after one time constant 63 % of the rise is done', () => {
    expect(forecastC(tray, 18, 18, true, timeConstantS(tray))).toBeCloseTo(18 + 12 * 0.632, 2);
  });

  test('even the weakest usual mat (60 W/m2) lifts a flat by over 0.3 K in 30 min, so less means no effect', () => {
    const riseK = forecastC(flatOn(60), 18, 18, true, 1800) - 18;
    expect(riseK).toBeGreaterThan(0.3);
  });
});
