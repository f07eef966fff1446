/**
 * The fit of a mat against the closed-form heater cycle: the USDA hotbed of `thermal.test.ts`, 100 W/m2 on a soaked flat of
 * 0.129 m2 that loses 10 W/m2K, switched by two-point control in a room that stands still.
 */
import { describe, expect, it } from 'vitest';
import { fitHeat, type HeatSample } from '../../cli/model/heat-fit';
import {
  forecastC,
  type HeatedTray,
  heatCycle,
  initialSlopeKPerH,
} from '../../shared/physics/thermal';
import { MINUTE_S } from '../../shared/units/time';

const TRAY: HeatedTray = { powerW: 12.9, capacityJPerK: 17_200, lossWPerK: 1.29 };
const BAND = { lowC: 24, highC: 26 };
const ROOM_C = 20;

/** Readings every five minutes over so many hours, by the closed form from switch to switch. */
function cycle(hours: number): HeatSample[] {
  const samples: HeatSample[] = [{ atH: 0, rootZoneC: BAND.lowC, dutyShare: 1 }];
  let celsius = BAND.lowC;
  let on = true;
  let onMin = 0;
  for (let minute = 1; minute <= hours * 60; minute++) {
    celsius = forecastC(TRAY, celsius, ROOM_C, on, MINUTE_S);
    onMin += on ? 1 : 0;
    if (celsius <= BAND.lowC) on = true;
    if (celsius >= BAND.highC) on = false;
    if (minute % 5 !== 0) continue;
    samples.push({ atH: minute / 60, rootZoneC: celsius, dutyShare: onMin / 5 });
    onMin = 0;
  }
  return samples;
}

describe('the fit of a heater cycle', () => {
  it('finds the slope that the mat’s watts make in the flat’s heat capacity: 2.7 K/h', () => {
    const fit = fitHeat(cycle(30));
    expect(initialSlopeKPerH(TRAY)).toBeCloseTo(2.7, 1);
    const { value, sd } = fit?.riseKPerH ?? { value: Number.NaN, sd: Number.NaN };
    expect(Math.abs(value / initialSlopeKPerH(TRAY) - 1)).toBeLessThan(0.02);
    expect(sd / value).toBeLessThan(0.02);
    expect(fit?.residualK).toBeLessThan(0.001);
  });

  it('is fed by as many cycles as the closed form has in that time', () => {
    const found = heatCycle(TRAY, BAND, ROOM_C);
    if (!found.ok) throw new Error(found.why);
    const { onS, offS } = found.value;
    const switches = cycle(30).filter(({ dutyShare }) => dutyShare > 0 && dutyShare < 1).length;
    const cycles = (30 * 3600) / (onS + offS);
    // Two in each cycle; those that fall on a reading are not seen.
    expect(switches).toBeGreaterThan(cycles);
    expect(switches).toBeLessThan(2 * cycles + 2);
  });
});
