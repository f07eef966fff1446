import { describe, expect, it } from 'vitest';
import { thingOnG } from '../../firmware/control/ledger';
import { isAway } from '../../firmware/control/weight';
import { QUIET_S, TRAY, TrayOnScale, unevenly } from './tray-on-scale';

describe('a flooded tray', () => {
  /** Half a litre more than it holds, and more running in for as long as nobody can say what it is. */
  function flooded(): TrayOnScale {
    const tray = new TrayOnScale(4_500);
    for (let s = 0; s < 900; s++) tray.read(tray.grams + unevenly(s), false);
    tray.rest(QUIET_S + 30);
    return tray;
  }

  function runsOff(tray: TrayOnScale, toG: number): void {
    const fromG = tray.grams;
    for (let s = 0; s < 2_400; s++) tray.read(toG + (fromG - toG) * Math.exp(-s / 300), true);
    tray.rest(QUIET_S + 30);
  }

  it('that is tipped loses its flood first: nothing was taken off it', () => {
    const tray = flooded();
    tray.byHand(4_640 - tray.grams);
    expect(tray.foreignG).toBe(0);
    runsOff(tray, TRAY.capacityG);
    expect(tray.waterG).toBeCloseTo(TRAY.capacityG, 0);
  });

  it('that is held up for a minute while it runs off has lost water meanwhile', () => {
    const tray = flooded();
    const floodG = tray.grams;
    for (let s = 0; s < 60; s++) tray.read(s % 3, false);
    tray.read(floodG - 120, false);
    tray.rest(QUIET_S + 2);
    expect(tray.waterG).toBeCloseTo(floodG - 120, 6);
    runsOff(tray, TRAY.capacityG);
    expect(tray.foreignG).toBe(0);
  });

  it('that is set down again before all of it has run off is that tray', () => {
    const tray = flooded();
    const floodG = tray.grams;
    tray.byHand(-floodG);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(floodG - 200);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(floodG - 200, 6);
  });

  it('has lost its lid, if all of the flood runs off besides', () => {
    const tray = flooded();
    tray.byHand(-350);
    runsOff(tray, TRAY.capacityG - 350);
    expect(tray.foreignG).toBe(-350);
    expect(tray.waterG).toBeCloseTo(TRAY.capacityG, 0);
    tray.byHand(350);
    expect(tray.waterG).toBeCloseTo(TRAY.capacityG, 0);
  });

  it('whose lid is put back meanwhile had it taken off, and spilled nothing', () => {
    const tray = flooded();
    const floodG = tray.grams;
    tray.byHand(-350);
    tray.byHand(350);
    expect(tray.waterG).toBeCloseTo(floodG, 6);
    expect(thingOnG(tray.state.ledger)).toBe(0);
  });

  it('has lost more than its flood when what is gone is heavier', () => {
    const tray = flooded();
    const floodG = tray.grams;
    tray.byHand(TRAY.capacityG - floodG - 200);
    expect(tray.waterG).toBeCloseTo(floodG, 6);
  });
});
