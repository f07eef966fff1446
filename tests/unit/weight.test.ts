import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { effectiveG, isHandled, NO_WEIGHT, nextWeight } from '../../firmware/control/weight';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const SECOND_MS = 1_000;
const QUIET_S = WEIGHT_LIMITS.quietMs / SECOND_MS;

/** A tray on the scale, read once a second. */
class TrayOnScale {
  state = NO_WEIGHT;
  uptimeMs = 0;
  grams: number;

  constructor(grams: number) {
    this.grams = grams;
    this.rest(1);
  }

  read(grams: number, stable: boolean, expectedRiseG = 0): void {
    this.uptimeMs += SECOND_MS;
    this.grams = grams;
    this.state = nextWeight(this.state, { uptimeMs: this.uptimeMs, grams, stable, expectedRiseG });
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
}

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
    expect(tray.state.shiftG).toBe(0);
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

  it('is never more than the scale shows and what was taken off', () => {
    const jumps = fc.array(fc.integer({ min: -900, max: 900 }), { maxLength: 12 });
    holds(
      fc.property(jumps, (changes) => {
        const tray = new TrayOnScale(5_000);
        for (const changeG of changes) {
          const beforeG = tray.waterG;
          const owedG = -tray.state.shiftG;
          tray.byHand(changeG);
          expect(tray.state.shiftG).toBeLessThanOrEqual(0);
          if (Math.abs(changeG) <= WEIGHT_LIMITS.handlingG) continue;
          // Taken off: the same water. Put on: what was owed first, the rest is water.
          expect(tray.waterG - beforeG).toBeCloseTo(Math.max(0, changeG - owedG), 6);
        }
      }),
    );
  });
});

describe('slow change', () => {
  it('of any length is no hand: a tray dries and fills by itself', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 5_000; s++) tray.read(4_000 - s * 0.1, true);
    for (let s = 0; s < 5_000; s++) tray.read(3_500 + s * 0.1, true);
    expect(tray.handled).toBe(false);
    expect(tray.state.shiftG).toBe(0);
  });

  it('and a scale that cannot say change nothing', () => {
    const tray = new TrayOnScale(4_000);
    const before = tray.state;
    tray.read(Number.NaN, false);
    expect(tray.state).toBe(before);
  });

  it('is followed only from the first settled weight on', () => {
    const first = nextWeight(NO_WEIGHT, {
      uptimeMs: 0,
      grams: 4_000,
      stable: false,
      expectedRiseG: 0,
    });
    expect(first).toBe(NO_WEIGHT);
  });
});
