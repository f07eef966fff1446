import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SCALE_CALIBRATION_LIMITS as LIMITS } from '../../cli/calibration/limits';
import {
  assessScale,
  assumedCountsPerG,
  checkMeasurement,
  checkSetup,
  type ScaleMeasurements,
  type ScaleSetup,
  toCalibration,
} from '../../cli/calibration/scale';
import { SCALE_CODE_MAX } from '../../shared/board/map';
import type { ScaleMeasurement } from '../../shared/link/methods';
import { nominalCountsPerG } from '../../shared/physics/bridge';
import { holds } from '../properties';

/** A tray of 4 kg on a 10 kg cell of 1 mV/V, calibrated with 4 kg of good weights. */
const SETUP: ScaleSetup = {
  weightG: 4_000,
  weightToleranceG: 1,
  cellG: 10_000,
  workingG: 4_000,
  units: 'metric',
};
const COUNTS_PER_G = nominalCountsPerG({ ratedG: SETUP.cellG, ratedMvPerV: 1 });
const ZERO_CODE = 90_000;

const measured = (grams: number, change: Partial<ScaleMeasurement> = {}): ScaleMeasurement => ({
  done: true,
  samples: LIMITS.samples,
  wanted: LIMITS.samples,
  meanCode: ZERO_CODE + grams * COUNTS_PER_G,
  sdCode: 0.2 * COUNTS_PER_G,
  driftCode: 0,
  saturated: false,
  silent: false,
  rootZoneC: 21,
  ...change,
});
const good = (change: Partial<ScaleMeasurements> = {}): ScaleMeasurements => ({
  empty: measured(0),
  loaded: measured(SETUP.weightG),
  emptyAgain: measured(0.2),
  ...change,
});
const reasonOf = (setup: ScaleSetup, measurements: ScaleMeasurements): string => {
  const result = assessScale(setup, measurements);
  return result.ok ? 'ok' : result.reason;
};

describe('a scale calibration', () => {
  it('finds zero and span, and weighs the known weight right', () => {
    const result = assessScale(SETUP, good());
    if (!result.ok) throw new Error(result.why);
    const { zeroCode, countsPerG, uncertaintyG, zeroReturnG } = result.findings;
    expect(countsPerG).toBeCloseTo(COUNTS_PER_G, 6);
    expect(zeroCode).toBeCloseTo(ZERO_CODE + 0.1 * COUNTS_PER_G, 3);
    expect(zeroReturnG).toBeCloseTo(0.2, 6);
    expect(uncertaintyG).toBeLessThan(LIMITS.targetUncertaintyG);
  });

  it('of any sound cell gives back what the cell really is', () => {
    const cell = fc.record({
      mvPerV: fc.double({ min: 0.9, max: 3.2, noNaN: true }),
      zeroCode: fc.integer({ min: -300_000, max: 300_000 }),
      weightG: fc.integer({ min: 2_500, max: 8_000 }),
    });
    holds(
      fc.property(cell, ({ mvPerV, zeroCode, weightG }) => {
        const countsPerG = nominalCountsPerG({ ratedG: SETUP.cellG, ratedMvPerV: mvPerV });
        const at = (grams: number): ScaleMeasurement =>
          measured(0, { meanCode: zeroCode + grams * countsPerG, sdCode: 0.1 * countsPerG });
        const setup = { ...SETUP, weightG };
        const result = assessScale(setup, { empty: at(0), loaded: at(weightG), emptyAgain: at(0) });
        if (!result.ok) throw new Error(result.why);
        expect(result.findings.countsPerG).toBeCloseTo(countsPerG, 6);
        expect(result.findings.zeroCode).toBeCloseTo(zeroCode, 6);
      }),
    );
  });

  it('with the tray left on the scale is refused, and so is a weight that fits neither tray nor cell', () => {
    const withTray = (grams: number): ScaleMeasurement => measured(4_600 + grams);
    const measurements = {
      empty: withTray(0),
      loaded: withTray(SETUP.weightG),
      emptyAgain: withTray(0),
    };
    expect(reasonOf(SETUP, measurements)).toBe('scale-not-empty');
    const alone = (weightG: number) => ({ ...SETUP, weightG, workingG: weightG });
    expect(checkSetup(alone(11_000))?.reason).toBe('weight-above-cell');
    expect(checkSetup(alone(400))?.reason).toBe('weight-too-small');
  });

  it('is sent to the board with what it was made with, and the time', () => {
    const result = assessScale(SETUP, good());
    if (!result.ok) throw new Error(result.why);
    expect(toCalibration(SETUP, result.findings, 1_700_000_000_000.7, null)).toMatchObject({
      massG: 4_000,
      cellG: 10_000,
      uncertaintyG: result.findings.uncertaintyG,
      zeroCodePerK: 0,
      atC: 20,
      unixMs: 1_700_000_000_001,
    });
    expect(toCalibration(SETUP, result.findings, 0, 23.5).atC).toBe(23.5);
  });

  it('is the more certain the nearer the weight comes to the tray', () => {
    const uncertaintyWith = (weightG: number): number => {
      const setup = { ...SETUP, weightG };
      const result = assessScale(setup, good({ loaded: measured(weightG) }));
      return result.ok ? result.findings.uncertaintyG : Number.POSITIVE_INFINITY;
    };
    expect(uncertaintyWith(4_000)).toBeLessThan(uncertaintyWith(2_000));
    expect(uncertaintyWith(2_000)).toBeLessThan(uncertaintyWith(1_200));
  });
});

describe('a scale calibration is refused', () => {
  const cases: readonly (readonly [
    string,
    string,
    Partial<ScaleSetup>,
    Partial<ScaleMeasurements>,
  ])[] = [
    ['a weight of next to nothing', 'weight-out-of-range', { weightG: 20 }, {}],
    ['a cell that a soaked tray would overload', 'cell-too-small', { cellG: 4_500 }, {}],
    ['a weight above the cell', 'weight-above-cell', { weightG: 12_000 }, {}],
    ['a weight far below the tray', 'weight-too-small', { weightG: 900 }, {}],
    [
      'a silent scale',
      'scale-silent',
      {},
      { empty: measured(0, { silent: true, samples: 3, done: false }) },
    ],
    ['no reading at all', 'scale-silent', {}, { loaded: measured(0, { samples: 0 }) }],
    [
      'an end code under the weight',
      'scale-saturated',
      {},
      { loaded: measured(4_000, { saturated: true }) },
    ],
    [
      'a mean at the end of the range',
      'scale-saturated',
      {},
      { emptyAgain: measured(0, { meanCode: SCALE_CODE_MAX }) },
    ],
    [
      'a draught while empty',
      'scale-unstable',
      {},
      { empty: measured(0, { sdCode: 1.2 * COUNTS_PER_G }) },
    ],
    [
      'a weight still being set down',
      'scale-unstable',
      {},
      { loaded: measured(4_000, { driftCode: -1.5 * COUNTS_PER_G }) },
    ],
    ['a weight that was never put on', 'scale-no-change', {}, { loaded: measured(1) }],
    ['a cell upside down', 'scale-wrong-sign', {}, { loaded: measured(-4_000) }],
    [
      'another weight than was said',
      'weight-or-cell-wrong',
      {},
      { loaded: measured(2_000), emptyAgain: measured(0) },
    ],
    ['something left on the scale', 'zero-not-returning', {}, { emptyAgain: measured(6) }],
    [
      'a weight nobody can vouch for',
      'weight-too-small',
      { weightG: 1_100, weightToleranceG: 5 },
      { loaded: measured(1_100) },
    ],
  ];
  for (const [what, reason, setup, measurements] of cases) {
    it(`for ${what}, and says what to do`, () => {
      const result = assessScale({ ...SETUP, ...setup }, good(measurements));
      if (result.ok) throw new Error('it was accepted');
      expect(result.reason).toBe(reason);
      expect(result.why).toMatch(/^[A-Z].*\.$/);
      expect(result.next).toMatch(/^[A-Z].*\.$/);
      expect(result.why + result.next).not.toMatch(/NaN|undefined|Infinity/);
    });
  }

  it('with the weight that would do, which then is accepted', () => {
    const setup = { ...SETUP, weightG: 1_100, weightToleranceG: 5 };
    const result = assessScale(setup, good({ loaded: measured(1_100) }));
    const weightKg = Number(/([\d.]+) kg would do/.exec(result.ok ? '' : result.next)?.[1]);
    const weightG = weightKg * 1000;
    expect(weightG).toBeGreaterThan(1_100);
    expect(reasonOf({ ...setup, weightG }, good({ loaded: measured(weightG) }))).toBe('ok');
  });

  it('before anything is measured, where the setup alone cannot work', () => {
    expect(checkSetup(SETUP)).toBe(null);
    expect(checkSetup({ ...SETUP, cellG: 4_500 })?.next).toContain('5 kg');
    expect(checkSetup({ ...SETUP, weightG: SETUP.workingG * LIMITS.weightShare })).toBe(null);
  });
});

describe('a refusal in US units', () => {
  it('speaks of pounds and ounces, and of weights one can have', () => {
    const us: ScaleSetup = { ...SETUP, units: 'us' };
    const refusal = checkSetup({ ...us, weightG: 500 });
    expect(refusal?.why).toBe(
      'A weight of 1.10 lb is too small: it says too little about a tray of 8.82 lb.',
    );
    expect(refusal?.next).toMatch(/^A weight of \d\.\d\d lb would do/);
    expect(`${refusal?.why}${refusal?.next}`).not.toMatch(/\bk?g\b/);
  });
});

describe('one measurement by itself', () => {
  it('is judged, before the span is known, as if by the weakest cell', () => {
    const countsPerG = assumedCountsPerG(SETUP.cellG);
    expect(checkMeasurement(measured(0), countsPerG, 'when empty', 'metric')).toBe(null);
    const shaky = measured(0, { sdCode: 1.01 * LIMITS.noiseG * countsPerG });
    expect(checkMeasurement(shaky, countsPerG, 'when empty', 'metric')?.why).toContain(
      'when empty',
    );
  });
});
