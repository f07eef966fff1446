import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thingOnG } from '../../firmware/control/ledger';
import { isAway } from '../../firmware/control/weight';
import { rescaledWeight } from '../../firmware/control/weight-kept';
import { holds } from '../properties';
import { QUIET_S, TRAY, TrayOnScale, unevenly } from './tray-on-scale';

describe('weight that is water', () => {
  it('stays when the lid is taken off, and when it is put back', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(-350);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
    tray.byHand(350);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
    expect(tray.foreignG).toBe(0);
  });

  it('grows by water poured in by hand', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(500);
    expect(tray.waterG).toBeCloseTo(4_500, 6);
  });

  it('first pays back a lid that is off, and only the rest counts', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(-350);
    tray.byHand(500);
    expect(tray.waterG).toBeCloseTo(4_150, 6);
  });

  it('dries on while the lid is off', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(-350);
    for (let s = 0; s < 3_600; s++) tray.read(3_650 - s * 0.01, true);
    expect(tray.handled).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_000 - 36, 0);
  });

  it('is told apart from a lid by its size: watered while the lid is off, then the lid put back', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(-350);
    tray.byHand(120);
    expect(tray.waterG).toBeCloseTo(4_120, 6);
    tray.byHand(350);
    expect(tray.waterG).toBeCloseTo(4_120, 6);
    expect(tray.foreignG).toBe(0);
  });

  it('whatever is put on and taken off again, in any order, leaves the water as it was', () => {
    const sizes = fc.uniqueArray(fc.integer({ min: 3, max: 60 }), { minLength: 1, maxLength: 4 });
    holds(
      fc.property(sizes, fc.infiniteStream(fc.nat(100)), (tens, picks) => {
        const tray = new TrayOnScale(4_000);
        const on: number[] = [];
        const left = tens.map((ten) => ten * 20);
        // Each thing is put on once and taken off once; sizes are told apart by more than the match.
        while (left.length + on.length > 0) {
          const put = left.length > 0 && (on.length === 0 || (picks.next().value ?? 0) < 50);
          const thing = put ? left.pop() : on.splice((picks.next().value ?? 0) % on.length, 1)[0];
          if (thing === undefined) break;
          if (put) on.push(thing);
          tray.byHand(put ? thing : -thing);
        }
        expect(tray.waterG).toBeCloseTo(4_000, 6);
        expect(tray.foreignG).toBe(0);
      }),
    );
  });

  it('is no weight of 1 or 2 kg: the wool cannot hold it, and while it stands there the water is known', () => {
    for (const weightG of [1_000, 2_000]) {
      const tray = new TrayOnScale(4_200);
      tray.byHand(weightG);
      expect(tray.waterG).toBeCloseTo(4_200, 6);
      expect(thingOnG(tray.state.ledger)).toBe(weightG);
      tray.byHand(-weightG);
      expect(tray.waterG).toBeCloseTo(4_200, 6);
      expect(thingOnG(tray.state.ledger)).toBe(0);
    }
  });

  it('is no thing of 300 g that the wool could just hold: what stands above it for an hour does not run off', () => {
    const tray = new TrayOnScale(4_480);
    tray.byHand(300);
    expect(thingOnG(tray.state.ledger)).toBe(0);
    for (let s = 0; s < 3_700; s++) tray.read(4_780 - s * 0.002, true);
    expect(thingOnG(tray.state.ledger)).toBe(300);
    expect(tray.waterG).toBeCloseTo(4_473, 0);
    tray.byHand(-300);
    expect(tray.foreignG).toBe(0);
  });

  it('that fills a dry tray is water, though it stands a little above what was thought its capacity', () => {
    const tray = new TrayOnScale(1_400);
    tray.byHand(3_380);
    for (let s = 0; s < 8_000; s++) tray.read(4_780 - s * 0.002, true);
    expect(thingOnG(tray.state.ledger)).toBe(0);
  });

  it('ran off far enough to be no thing, and stands a little above what was thought its capacity', () => {
    const tray = new TrayOnScale(4_480);
    tray.byHand(500);
    for (let s = 0; s < 8_000; s++) tray.read(4_900 + 80 * Math.exp(-s / 300) - s * 0.002, true);
    expect(thingOnG(tray.state.ledger)).toBe(0);
  });

  it('runs off within the hour as far as it stands above what the wool holds, or came gently and runs in still', () => {
    const poured = new TrayOnScale(4_480);
    poured.byHand(300);
    for (let s = 0; s < 8_000; s++) poured.read(4_596 + 184 * Math.exp(-s / 600), true);
    expect(thingOnG(poured.state.ledger)).toBe(0);
    const running = new TrayOnScale(4_480);
    for (let s = 0; s < 300; s++) running.read(running.grams + unevenly(s), false);
    running.rest(8_000);
    expect(running.grams).toBeGreaterThan(4_740);
    expect(thingOnG(running.state.ledger)).toBe(0);
  });

  it('is what it was when several things are taken off in one, though one of them passed for water', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(1_742);
    tray.byHand(187);
    tray.byHand(-1_929);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_200, 6);
  });

  it('is gone as it is taken off again, from a tray of which nothing is known yet as well', () => {
    const unknown = { dryG: Number.NaN, capacityG: Number.NaN, plantsG: 0 };
    const tray = new TrayOnScale(2_000, unknown);
    tray.byHand(500);
    tray.byHand(-500);
    expect(tray.state.ledger).toEqual([]);
  });

  it('is what it was when a thing gives way to a lighter one, and that is taken off', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(1_301);
    tray.byHand(370 - 1_301);
    expect(tray.waterG).toBeCloseTo(4_200, 6);
    tray.byHand(-370);
    expect(tray.waterG).toBeCloseTo(4_200, 6);
    expect(tray.foreignG).toBe(0);
  });

  it('is what it was when all that was taken off is put back in one', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(-150);
    tray.byHand(-220);
    tray.byHand(370);
    expect(tray.waterG).toBeCloseTo(4_200, 6);
    expect(tray.foreignG).toBe(0);
  });

  it('poured over what the wool holds drains off again, and was no thing', () => {
    const tray = new TrayOnScale(4_400);
    tray.byHand(900);
    for (let s = 0; s < 1_800; s++) tray.read(5_300 - s * 0.38, true);
    expect(tray.waterG).toBeCloseTo(4_616, 0);
    expect(tray.foreignG).toBe(0);
  });

  it('stands in the tray for an hour under a welded pump, runs off again, and was never a thing', () => {
    const tray = new TrayOnScale(4_500);
    for (let s = 0; s < 1_000; s++) tray.read(tray.grams + unevenly(s), false);
    tray.rest(QUIET_S + 30);
    expect(thingOnG(tray.state.ledger)).toBe(0);
    tray.rest(3_600);
    for (let s = 0; s < 1_800; s++) tray.read(4_596 + 904 * Math.exp(-s / 600), true);
    tray.rest(QUIET_S + 30);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(tray.grams, 6);
  });

  it('that flooded the tray as the board restarted, and went on running in, was no thing when it runs out again', () => {
    const tray = new TrayOnScale(4_590);
    tray.byHand(629);
    expect(thingOnG(tray.state.ledger)).toBe(629);
    for (let s = 0; s < 1_800; s++) tray.read(5_219 + s / 15, true);
    for (let s = 0; s < 1_000; s++) tray.read(4_576 + 763 * Math.exp(-s / 200), false);
    tray.rest(QUIET_S + 30);
    expect(thingOnG(tray.state.ledger)).toBe(0);
    expect(tray.waterG).toBeCloseTo(tray.grams, 6);
  });

  it('of a dose that a full tray lets run out again does not turn a thing on it into water', () => {
    const tray = new TrayOnScale(4_590);
    tray.byHand(629);
    tray.rest(900);
    for (let s = 0; s < 30; s++) tray.read(5_219 + 3 * s, false, 300);
    for (let s = 0; s < 60; s++) tray.read(5_306, true, 300);
    for (let s = 0; s < 600; s++) tray.read(5_225 + 81 * Math.exp(-s / 200), true, 300);
    expect(thingOnG(tray.state.ledger)).toBe(629);
  });

  it('that a siphon draws out is no lid taken off: the tray is known to be as dry as it is', () => {
    const tray = new TrayOnScale(4_500);
    for (let s = 0; s < 600; s++) tray.read(tray.grams - unevenly(s), false);
    tray.rest(QUIET_S + 30);
    expect(tray.waterG).toBeCloseTo(tray.grams, 6);
    expect(tray.grams).toBeLessThan(4_000);
  });

  it('runs off while hands are at the tray too: what falls gently is no thing taken off', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(900);
    for (let s = 0; s < 20 * 60; s++) {
      const hands = s >= 300 && s < 315 ? (s % 2) * 80 : 0;
      const heldG = 4_600 + 800 * Math.exp(-s / 150);
      tray.read(heldG + hands, hands === 0);
    }
    tray.rest(2 * QUIET_S);
    expect(tray.foreignG).toBeCloseTo(0, 0);
    expect(tray.waterG).toBeCloseTo(4_600, 0);
  });

  it('is the same after the scale was calibrated with another weight, the tray off meanwhile', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(-4_200);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(5_000);
    // The new calibration reads 2 % less.
    tray.state = rescaledWeight(tray.state, 0.98);
    tray.grams = 4_900;
    tray.byHand(-4_900);
    tray.byHand(4_116);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_116, 6);
    expect(tray.foreignG).toBeCloseTo(0, 6);
  });
});
