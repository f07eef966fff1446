import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextPumpShare } from '../../firmware/control/pump-trim';
import { PUMP_TRIM_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

/** Doses of 120 ml by a pump that really gives `trueShare` of its calibration. */
function worn(doses: number, trueShare: number): number {
  let share = 1;
  for (let i = 0; i < doses; i++) {
    share = nextPumpShare(share, 120, (120 * trueShare) / share, 0, 0.2);
  }
  return share;
}

describe('the pump by its proved doses', () => {
  it('is known to 2 % again within 15 doses, worn to 80 % or fitted with a wider tube', () => {
    for (const share of [0.8, 0.9, 1, 1.1, 1.2])
      expect(Math.abs(worn(15, share) - share)).toBeLessThan(0.02);
  });

  it('is judged worn by no single dose: one in a draught moves it by a twentieth at most', () => {
    holds(
      fc.property(fc.double({ min: 0, max: 400, noNaN: true }), (gainedG) => {
        const share = nextPumpShare(1, 120, gainedG, 0, 0.2);
        expect(Math.abs(share - 1)).toBeLessThanOrEqual(PUMP_TRIM_LIMITS.stepMax + 1e-9);
      }),
    );
  });

  it('is not blamed for what the tray dried by while the dose soaked in', () => {
    expect(nextPumpShare(1, 120, 115, 5, 0.2)).toBe(1);
  });

  it('learns nothing from a dose that hardly rises above the noise, or whose gain nobody knows', () => {
    expect(nextPumpShare(0.9, 5, 2, 0, 0.2)).toBe(0.9);
    expect(nextPumpShare(0.9, 120, Number.NaN, 0, 0.2)).toBe(0.9);
    expect(nextPumpShare(0.9, 0, 0, 0, 0)).toBe(0.9);
  });

  it('stays between its bounds whatever the doses say', () => {
    holds(
      fc.property(fc.array(fc.double({ min: 0, max: 500, noNaN: true })), (gains) => {
        let share = 1;
        for (const gainedG of gains) share = nextPumpShare(share, 120, gainedG, 0, 0.2);
        expect(share).toBeGreaterThanOrEqual(PUMP_TRIM_LIMITS.least);
        expect(share).toBeLessThanOrEqual(PUMP_TRIM_LIMITS.most);
      }),
    );
  });
});
