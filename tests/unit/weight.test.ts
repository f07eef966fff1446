import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foreignG, thingOnG } from '../../firmware/control/ledger';
import {
  effectiveG,
  isAway,
  isHandled,
  NO_WEIGHT,
  nextWeight,
  rescaledWeight,
  weightBefore,
} from '../../firmware/control/weight';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const SECOND_MS = 1_000;
const QUIET_S = WEIGHT_LIMITS.quietMs / SECOND_MS;
/** 98 plugs: dry with their tray, and at container capacity, g. */
const TRAY = { dryG: 536, capacityG: 4_596 };

/** A tray on the scale, read once a second. */
class TrayOnScale {
  state = NO_WEIGHT;
  uptimeMs = 0;
  grams: number;
  driesG = 0;

  constructor(
    grams: number,
    readonly holds = TRAY,
  ) {
    this.grams = grams;
    this.rest(1);
  }

  read(grams: number, stable: boolean, expectedRiseG = 0): void {
    this.uptimeMs += SECOND_MS;
    this.grams = grams;
    const { uptimeMs, driesG, holds } = this;
    const tick = { uptimeMs, dtMs: SECOND_MS, noisyG: 0 };
    const input = { ...holds, ...tick, grams, stable, expectedRiseG, driesG };
    this.state = nextWeight(this.state, input);
  }

  /** The power goes for nobody knows how long; meanwhile it weighs `changeG` more. */
  cutOff(changeG: number): void {
    this.state = weightBefore(this.state.ledger, this.state.settledG, true);
    for (let s = 0; s < 10; s++) this.read(Number.NaN, false);
    this.grams = this.state.settledG + changeG;
    this.rest(QUIET_S + 30);
  }

  /** It dries for so long by `gPerH`, and the scale cannot say. */
  unweighed(hours: number, gPerH: number): void {
    const { grams } = this;
    this.driesG = gPerH / 3_600;
    for (let s = 0; s < hours * 3_600; s++) this.read(Number.NaN, false);
    this.driesG = 0;
    this.grams = grams - hours * gPerH;
  }

  rest(seconds: number): void {
    for (let s = 0; s < seconds; s++) this.read(this.grams, true);
  }

  /** Somebody changes the weight, and goes away. */
  byHand(changeG: number): void {
    this.read(this.grams + changeG, false);
    this.rest(QUIET_S + 2);
  }

  get handled(): boolean {
    return isHandled(this.state);
  }

  get waterG(): number {
    return effectiveG(this.state, this.grams);
  }

  get foreignG(): number {
    return foreignG(this.state.ledger);
  }
}

/** About 1 g a second, never the same for long: no even drift. */
const unevenly = (s: number): number => 1 + 0.8 * Math.sin(s / 15);

describe('a hand on the tray', () => {
  it('is noticed at once by a jump in either direction, and is over when it is quiet long enough', () => {
    for (const jumpG of [-WEIGHT_LIMITS.handlingG - 1, WEIGHT_LIMITS.handlingG + 1]) {
      const tray = new TrayOnScale(4_000);
      tray.read(4_000 + jumpG, false);
      expect(tray.handled).toBe(true);
      tray.rest(QUIET_S - 1);
      expect(tray.handled).toBe(true);
      tray.rest(2);
      expect(tray.handled).toBe(false);
    }
  });

  it('still there as long as the weight moves', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 3 * QUIET_S; s++) tray.read(4_000 + (s % 2) * 200, true);
    expect(tray.handled).toBe(true);
    for (let s = 0; s < 3 * QUIET_S; s++) tray.read(4_100, false);
    expect(tray.handled).toBe(true);
  });

  it('is gone although the tray leaks three grams a minute, and the leak is no thing taken off', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(20);
    for (let s = 0; s < 30 * 60; s++) tray.read(tray.grams - 0.05, true);
    expect(tray.handled).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_020 - 90, 0);
    expect(tray.foreignG).toBe(0);
  });

  it('is not a running pump, up to what the pump may give', () => {
    const tray = new TrayOnScale(4_000);
    tray.read(4_000 + WEIGHT_LIMITS.handlingG + 40, false, 41);
    expect(tray.handled).toBe(false);
    tray.read(4_000 + WEIGHT_LIMITS.handlingG + 42, false, 41);
    expect(tray.handled).toBe(true);
  });

  it('is not a fall that the pump could explain: a pump takes nothing off', () => {
    const tray = new TrayOnScale(4_000);
    tray.read(3_980, false, 100);
    expect(tray.handled).toBe(true);
  });
});

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

  it('gained beside the scale is water: soaked for half an hour and put back', () => {
    const tray = new TrayOnScale(3_900);
    tray.byHand(-3_900);
    tray.byHand(4_550);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_550, 6);
  });

  it('is away when it is held up beside a weight that stands on the scale', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(2_400);
    tray.read(2_400, false);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.read(6_900, false);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
  });

  it('is away too when the weight beside which it is held up weighs nearly the same', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(3_950);
    tray.byHand(-4_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
    tray.byHand(-3_950);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
  });

  it('is away when it leaves what had passed for water, which was a thing beside it', () => {
    const tray = new TrayOnScale(3_560);
    tray.byHand(876);
    expect(thingOnG(tray.state.ledger)).toBe(0);
    tray.byHand(-3_558);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(3_550);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(3_552, 6);
  });

  it('that it lost while the scale was silent was dried, and no thing taken off meanwhile is mistaken for it', () => {
    for (const thingG of [0, 454]) {
      const tray = new TrayOnScale(4_200);
      if (thingG > 0) tray.byHand(thingG);
      tray.unweighed(3, 25);
      tray.byHand(-thingG);
      expect(tray.foreignG).toBe(0);
      expect(tray.waterG).toBeCloseTo(4_125, 6);
    }
  });

  it('that is less after a power cut has dried, and is no thing taken off', () => {
    const tray = new TrayOnScale(4_500);
    tray.cutOff(-160);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_340, 6);
  });

  it('that is much less after hours in which the scale was silent has dried; after minutes a lid was taken off', () => {
    for (const [hours, lostG, foreignG] of [
      [6, 465, 0],
      [0.2, 350, -350],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.unweighed(hours, 0);
      tray.byHand(-lostG);
      expect(tray.foreignG).toBeCloseTo(foreignG, 6);
    }
  });

  it('dried through a power cut besides what was taken off or put back in it', () => {
    for (const [thingG, foreignG] of [
      [350, 0],
      [-350, 0],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.byHand(thingG);
      tray.cutOff(-thingG - 120);
      expect(tray.foreignG).toBeCloseTo(foreignG, 6);
      expect(tray.waterG).toBeCloseTo(4_380, 6);
    }
  });

  it('is as it was when a thing came whole and went whole, though a little was missing before', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(-19);
    tray.byHand(549);
    tray.byHand(-549);
    expect(tray.state.ledger).toHaveLength(1);
    expect(tray.waterG).toBeCloseTo(4_500, 6);
  });

  it('is there again, a little drier, though nobody has said yet what it holds', () => {
    for (const dryG of [TRAY.dryG, Number.NaN]) {
      const tray = new TrayOnScale(2_686, { capacityG: Number.NaN, dryG });
      tray.byHand(-2_686);
      tray.byHand(5_000);
      expect(isAway(tray.state, tray.grams, dryG)).toBe(true);
      tray.byHand(-5_000);
      tray.byHand(2_456);
      expect(isAway(tray.state, tray.grams, dryG)).toBe(false);
      expect(tray.waterG).toBeCloseTo(2_456, 6);
    }
  });

  it('may be a fifth less when it comes back after hours beside the scale, and not when it was away for minutes', () => {
    for (const [hours, away] of [
      [2.5, false],
      [0.2, true],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.byHand(-4_500);
      tray.rest(hours * 3_600);
      tray.byHand(3_640);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(away);
    }
  });

  it('is known again when it comes back without what had flooded it', () => {
    const tray = new TrayOnScale(4_500);
    for (let s = 0; s < 900; s++) tray.read(tray.grams + unevenly(s), false);
    tray.rest(QUIET_S + 30);
    tray.byHand(-tray.grams);
    tray.byHand(4_560);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_560, 6);
  });

  it('is known again when a tray comes back without what stood on it, or what it could not hold', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(620);
    tray.byHand(-5_120);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_400);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_400, 6);
    expect(thingOnG(tray.state.ledger)).toBe(0);
  });

  it('is as wet as it went when it comes back without the thing that lay in it, though it could have dried', () => {
    const tray = new TrayOnScale(4_590);
    tray.byHand(396);
    tray.byHand(-4_986);
    tray.byHand(4_588);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_588, 6);
  });

  it('is known again when it comes back without a thing that had passed for water', () => {
    const tray = new TrayOnScale(1_200);
    tray.byHand(796);
    tray.byHand(-1_996);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(1_190);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(1_190, 6);
  });

  it('is not made of a weight that stands there while the tray is away', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(-4_200);
    tray.byHand(2_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(-2_000);
    tray.byHand(4_190);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_190, 6);
  });
});
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

describe('slow change', () => {
  it('of any length is no hand: a tray dries and fills by itself', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 5_000; s++) tray.read(4_000 - s * 0.1, true);
    for (let s = 0; s < 5_000; s++) tray.read(3_500 + s * 0.1, true);
    expect(tray.handled).toBe(false);
    expect(tray.foreignG).toBe(0);
  });

  it('and a scale that cannot say change nothing', () => {
    const tray = new TrayOnScale(4_000);
    const { ledger, settledG, hand } = tray.state;
    tray.read(Number.NaN, false);
    expect(tray.state).toMatchObject({ ledger, settledG, hand });
    const blind = tray.state;
    tray.read(Number.NaN, false);
    expect(tray.state).toBe(blind);
  });

  it('is followed only from the first settled weight on', () => {
    const first = nextWeight(NO_WEIGHT, {
      ...TRAY,
      uptimeMs: 0,
      dtMs: SECOND_MS,
      grams: 4_000,
      stable: false,
      noisyG: 0,
      driesG: 0,
      expectedRiseG: 0,
    });
    expect(first).toBe(NO_WEIGHT);
  });
});
