import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../firmware/guard/finding';
import { InflowWatch } from '../../firmware/guard/inflow-watch';
import { WEIGHT_LIMITS as LIMITS } from '../../firmware/limits';
import { holds } from '../properties';
import { found } from './findings';
import { readings } from './readings';

const TICK_MS = 1_000;
const TO_PUMP_S = (LIMITS.stuckPumpSteps * LIMITS.inflowStepMs) / 1000;
const TO_RISING_S = (LIMITS.inflowSteps * LIMITS.inflowStepMs) / 1000;
const SETTLE_S = LIMITS.inflowSettleMs / 1000;
const PUMP_ML_PER_S = 1;

/** A tray under a watch, second by second. */
class Tray {
  readonly found: Finding[] = [];
  readonly #watch = new InflowWatch();
  #uptimeMs = 0;
  #grams = 4_000;

  constructor(readonly mlPerS = PUMP_ML_PER_S) {}

  pass(
    seconds: number,
    gPerS: number,
    { pumping = false, scale = 'ok' as 'ok' | 'noisy' } = {},
  ): this {
    for (let i = 0; i < seconds; i++) {
      this.#uptimeMs += TICK_MS;
      this.#grams += gPerS;
      const seen = readings({
        uptimeMs: this.#uptimeMs,
        // A scale in doubt may well have a weight to tell.
        scale: { state: scale, grams: this.#grams },
      });
      this.found.push(...this.#watch.tick(seen, pumping, this.mlPerS));
    }
    return this;
  }

  get names(): string[] {
    return found(this.found);
  }
}

describe('water that runs in with the pump off', () => {
  it('like the pump is the pump: its switch does not open, told after a minute', () => {
    const tray = new Tray();
    expect(tray.pass(TO_PUMP_S, PUMP_ML_PER_S).names).toEqual([]);
    expect(tray.pass(1, PUMP_ML_PER_S).names).toEqual(['pump-stuck-on']);
    expect(tray.found[0]).toMatchObject({ is: 'happened', limit: PUMP_ML_PER_S });
  });

  it.each([
    ['a worn tube gives', LIMITS.stuckPumpMinShare + 0.01, ['pump-stuck-on']],
    ['no tube gives so much', LIMITS.stuckPumpMaxShare + 0.01, []],
    ['no pump runs so slow', LIMITS.stuckPumpMinShare - 0.01, []],
  ])("is judged by the pump's own flow: %s", (_what, share, expected) => {
    expect(new Tray().pass(TO_PUMP_S + 1, share).names).toEqual(expected);
  });

  it('at another pace is an inflow, told after three minutes with all that ran in', () => {
    const tray = new Tray();
    const gPerS = LIMITS.stuckPumpMaxShare + 0.5;
    expect(tray.pass(TO_RISING_S, gPerS).names).toEqual([]);
    expect(tray.pass(1, gPerS).names).toEqual(['weight-rising']);
    const [finding] = tray.found;
    expect(finding?.is === 'happened' && finding.value).toBeCloseTo(TO_RISING_S * gPerS, 6);
  });

  it('beside a pump nobody has calibrated is an inflow, whatever its pace', () => {
    expect(new Tray(Number.NaN).pass(TO_RISING_S + 1, 1).names).toEqual(['weight-rising']);
  });

  it('found once begins anew: it is told again only after as long again', () => {
    const tray = new Tray().pass(TO_PUMP_S + 1, PUMP_ML_PER_S);
    tray.pass(TO_PUMP_S - 1, PUMP_ML_PER_S);
    expect(tray.names).toEqual(['pump-stuck-on']);
    expect(tray.pass(1, PUMP_ML_PER_S).names).toEqual(['pump-stuck-on', 'pump-stuck-on']);
  });
});

describe('water that is no inflow', () => {
  it('comes from the pump, and is still arriving a while after it', () => {
    const tray = new Tray();
    for (let i = 0; i < 20; i++) {
      tray.pass(30, PUMP_ML_PER_S, { pumping: true }).pass(SETTLE_S - 1, PUMP_ML_PER_S);
    }
    expect(tray.names).toEqual([]);
  });

  it('stops in between, as a watering can does', () => {
    const tray = new Tray();
    for (let i = 0; i < 20; i++) tray.pass(TO_PUMP_S - 10, PUMP_ML_PER_S).pass(20, 0);
    expect(tray.names).toEqual([]);
  });

  it('rises so slowly that it settles, and is judged there', () => {
    expect(new Tray().pass(TO_RISING_S * 5, LIMITS.inflowGPerS * 0.9).names).toEqual([]);
  });

  it('is not told from a scale that cannot say: the minutes count anew behind it', () => {
    const tray = new Tray();
    tray.pass(TO_PUMP_S, PUMP_ML_PER_S).pass(1, PUMP_ML_PER_S, { scale: 'noisy' });
    expect(tray.pass(TO_PUMP_S, PUMP_ML_PER_S).names).toEqual([]);
    expect(tray.pass(1, PUMP_ML_PER_S).names).toEqual(['pump-stuck-on']);
  });
});

describe('over any course', () => {
  it('nothing is found of a tray whose weight does not rise', () => {
    const stretch = fc.record({
      seconds: fc.integer({ min: 1, max: 300 }),
      gPerS: fc.double({ min: -5, max: 0, noNaN: true }),
      pumping: fc.boolean(),
      scale: fc.constantFrom('ok' as const, 'noisy' as const),
    });
    holds(
      fc.property(fc.array(stretch, { maxLength: 12 }), (course) => {
        const tray = new Tray();
        for (const { seconds, gPerS, ...how } of course) tray.pass(seconds, gPerS, how);
        expect(tray.names).toEqual([]);
      }),
      { numRuns: 30 },
    );
  });
});
