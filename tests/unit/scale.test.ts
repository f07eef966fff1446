import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import { SENSING_LIMITS } from '../../firmware/limits';
import { Measurement, ScaleSense } from '../../firmware/sensing/scale';
import { SCALE_CODE_MAX, SCALE_CODE_MIN } from '../../shared/board/map';
import type { ScaleCalibration } from '../../shared/link/methods';
import { MINUTE_S, SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

const WINDOW: number = SENSING_LIMITS.scaleWindow;
const CALIBRATION: ScaleCalibration = {
  zeroCode: 120_000,
  countsPerG: 214,
  massG: 5_000,
  cellG: 10_000,
  uncertaintyG: 0.5,
  zeroCodePerK: 0,
  atC: 20,
  unixMs: 0,
};
const codeOf = (grams: number): number =>
  Math.round(CALIBRATION.zeroCode + grams * CALIBRATION.countsPerG);

/** A scale read once a second. */
class Weighing {
  readonly sense = new ScaleSense();
  uptimeMs = 0;

  constructor(calibration: ScaleCalibration | null = CALIBRATION) {
    this.sense.calibrate(calibration);
  }

  take(code: number, times = 1, rootZoneC = 20): void {
    for (let i = 0; i < times; i++) {
      this.uptimeMs += SECOND_MS;
      this.sense.take(code, this.uptimeMs, SECOND_MS, rootZoneC);
    }
  }

  at(grams: number, times = WINDOW): void {
    this.take(codeOf(grams), times);
  }

  /** Normal noise of `sigmaG` around `grams`. */
  noisy(grams: number, sigmaG: number, times: number, random: Random): void {
    for (let i = 0; i < times; i++) this.at(grams + sigmaG * random.normal(), 1);
  }
}

const saturated = fc.constantFrom(SCALE_CODE_MAX, SCALE_CODE_MIN);

describe('the scale', () => {
  it('tells the weight once its window is full, and not a code sooner', () => {
    const scale = new Weighing();
    scale.at(4_000, WINDOW - 1);
    expect([scale.sense.state, scale.sense.grams]).toEqual(['silent', Number.NaN]);
    scale.at(4_000, 2);
    expect(scale.sense.state).toBe('ok');
    expect(scale.sense.grams).toBeCloseTo(4_000, 1);
    expect(scale.sense.stable).toBe(true);
  });

  it('without calibration tells codes and no weight', () => {
    const scale = new Weighing(null);
    scale.take(300_000, 30);
    expect([scale.sense.state, scale.sense.grams, scale.sense.stable]).toEqual([
      'uncalibrated',
      Number.NaN,
      false,
    ]);
    expect(scale.sense.code).toBe(300_000);
  });

  it('takes the drift of its zero with temperature into account, where that is known', () => {
    const scale = new Weighing({ ...CALIBRATION, zeroCodePerK: 214 });
    scale.take(codeOf(4_000), WINDOW, 25);
    expect(scale.sense.grams).toBeCloseTo(3_995, 1);
    scale.take(codeOf(4_000), WINDOW, Number.NaN);
    expect(scale.sense.grams).toBeCloseTo(4_000, 1);
  });

  it('that sends nothing for ten seconds is silent, and needs a full window to speak again', () => {
    const scale = new Weighing();
    scale.at(4_000, 30);
    scale.take(Number.NaN, SENSING_LIMITS.scaleSilentMs / SECOND_MS - 1);
    expect(scale.sense.grams).toBeCloseTo(4_000, 1);
    scale.take(Number.NaN);
    expect([scale.sense.state, scale.sense.grams]).toEqual(['silent', Number.NaN]);
    scale.at(5_000, WINDOW - 1);
    expect(scale.sense.grams).toBeNaN();
    scale.at(5_000, 1);
    expect(scale.sense.grams).toBeCloseTo(5_000, 1);
  });

  it('overloaded past its cell is saturated: the number would be a lie', () => {
    const scale = new Weighing();
    scale.at(4_000, 30);
    scale.at(CALIBRATION.cellG * 1.2, 30);
    expect([scale.sense.state, scale.sense.grams]).toEqual(['saturated', Number.NaN]);
    scale.at(4_000, 30);
    expect(scale.sense.state).toBe('ok');
  });
});

describe('an end code of the converter', () => {
  it('never becomes mass, in whatever course it comes', () => {
    const code = fc.oneof(
      { weight: 3, arbitrary: fc.integer({ min: 3_900, max: 4_100 }).map(codeOf) },
      { weight: 2, arbitrary: saturated },
    );
    holds(
      fc.property(fc.array(code, { maxLength: 200, size: 'max' }), (codes) => {
        const scale = new Weighing();
        for (const one of codes) {
          scale.take(one);
          const { grams } = scale.sense;
          expect(Number.isNaN(grams) || (grams > 3_899 && grams < 4_101)).toBe(true);
        }
      }),
    );
  });

  it('once is a spike; five in a row are a fault, and the weight is gone', () => {
    for (const code of [SCALE_CODE_MAX, SCALE_CODE_MIN]) {
      const scale = new Weighing();
      scale.at(4_000, 30);
      scale.take(code, SENSING_LIMITS.scaleSaturatedTicks - 1);
      expect(scale.sense.state).toBe('ok');
      expect(scale.sense.grams).toBeCloseTo(4_000, 1);
      scale.take(code);
      expect([scale.sense.state, scale.sense.grams, scale.sense.stable]).toEqual([
        'saturated',
        Number.NaN,
        false,
      ]);
    }
  });

  it('spoils a measurement for calibration', () => {
    const scale = new Weighing();
    scale.sense.measure(10);
    scale.at(4_000, 5);
    expect(scale.sense.measurement?.saturated).toBe(false);
    scale.take(SCALE_CODE_MAX);
    const { measurement } = scale.sense;
    expect([measurement?.saturated, measurement?.samples]).toEqual([true, 5]);
  });
});

describe('a disturbed conversion', () => {
  it('does not move the weight: up to three in a window are ignored, however wild', () => {
    const wild = fc.integer({ min: SCALE_CODE_MIN + 1, max: SCALE_CODE_MAX - 1 });
    const places = fc.uniqueArray(fc.nat(WINDOW - 1), { maxLength: SENSING_LIMITS.scaleTrim });
    holds(
      fc.property(wild, places, (code, spikes) => {
        const scale = new Weighing();
        scale.at(4_000, 30);
        for (let i = 0; i < WINDOW; i++) scale.take(spikes.includes(i) ? code : codeOf(4_000));
        expect(scale.sense.grams).toBeCloseTo(4_000, 1);
        expect(scale.sense.stable).toBe(true);
      }),
    );
  });
});

describe('a spike', () => {
  it('of any size, or an end code, is no noise: a dose after it is proved as before', () => {
    const spike = fc.oneof(saturated, fc.integer({ min: SCALE_CODE_MIN, max: SCALE_CODE_MAX }));
    holds(
      fc.property(spike, fc.integer(), (code, seed) => {
        const scale = new Weighing();
        scale.noisy(4_000, 0.2, 400, new Random(seed));
        const before = scale.sense.noiseG;
        scale.take(code);
        scale.at(4_000, 1);
        expect(scale.sense.noiseG).toBeLessThan(before * 1.25);
      }),
      { numRuns: 50 },
    );
  });
});

describe('a weight is stable', () => {
  it('since the time it came to rest, and not while it moves', () => {
    const scale = new Weighing();
    scale.at(4_000, 30);
    const sinceMs = scale.sense.stableSinceMs;
    scale.at(4_000, 30);
    expect(scale.sense.stableSinceMs).toBe(sinceMs);
    scale.at(4_100, 6);
    expect(scale.sense.stable).toBe(false);
    scale.at(4_100, 30);
    expect(scale.sense.stable).toBe(true);
    expect(scale.sense.stableSinceMs).toBeGreaterThan(sinceMs);
  });

  it('in a calm room, and not in a draught', () => {
    const calm = new Weighing();
    calm.noisy(4_000, 0.2, 300, new Random(3));
    expect(calm.sense.stable).toBe(true);
    const draught = new Weighing();
    draught.noisy(4_000, 10, 300, new Random(3));
    expect(draught.sense.stable).toBe(false);
  });
});

describe('noise', () => {
  it('is told as the standard deviation of single codes, within a third', () => {
    for (const seed of [1, 2, 3]) {
      const scale = new Weighing();
      scale.noisy(4_000, 1.5, 1_000, new Random(seed));
      expect(scale.sense.noiseG / 1.5).toBeGreaterThan(0.67);
      expect(scale.sense.noiseG / 1.5).toBeLessThan(1.33);
    }
  });

  it('is a fault when it lasts, not while hands are on the tray', () => {
    const scale = new Weighing();
    const random = new Random(5);
    scale.noisy(4_000, 0.2, 60, random);
    scale.noisy(4_000, 40, 60, random);
    expect(scale.sense.state).toBe('ok');
    // A minute more: it takes the estimate so long to believe in such noise.
    scale.noisy(4_000, 40, SENSING_LIMITS.scaleNoisyMs / SECOND_MS + 60, random);
    expect(scale.sense.state).toBe('noisy');
    // And it must stand still for as long as it trembled.
    scale.noisy(4_000, 0.2, 600, random);
    expect(scale.sense.state).toBe('noisy');
    scale.noisy(4_000, 0.2, 300, random);
    expect(scale.sense.state).toBe('ok');
  });
});

describe('a scale that trembles evenly', () => {
  const settledShare = (sigmaG: number): number => {
    const scale = new Weighing();
    const random = new Random(11);
    scale.noisy(4_000, sigmaG, 5 * MINUTE_S, random);
    let stable = 0;
    for (let i = 0; i < 1_000; i++) {
      scale.noisy(4_000, sigmaG, 1, random);
      if (scale.sense.stable) stable += 1;
    }
    return stable / 1_000;
  };

  it('by up to 2 g stands still nearly all the time; by 3 g it never does', () => {
    expect(settledShare(1.5)).toBeGreaterThan(0.9);
    expect(settledShare(2)).toBeGreaterThan(0.8);
    expect(settledShare(3)).toBe(0);
  });

  it('and was too noisy is believed again at 1.5 g, and not at 2.3', () => {
    for (const [sigmaG, state] of [
      [2.3, 'noisy'],
      [1.5, 'ok'],
    ] as const) {
      const scale = new Weighing();
      const random = new Random(12);
      scale.noisy(4_000, 5, 15 * MINUTE_S, random);
      expect(scale.sense.state).toBe('noisy');
      scale.noisy(4_000, sigmaG, 30 * MINUTE_S, random);
      expect(scale.sense.state, `${sigmaG} g`).toBe(state);
    }
  });

  it('is another matter than water that runs in evenly, however fast: that moves, and does not tremble', () => {
    const scale = new Weighing();
    const random = new Random(13);
    for (let s = 0; s < 15 * MINUTE_S; s++) scale.noisy(1_000 + 4 * s, 0.2, 1, random);
    expect(scale.sense.state).toBe('ok');
    expect(scale.sense.stable).toBe(false);
  });
});

describe('a measurement', () => {
  it('has the mean and standard deviation of its codes, and the drift between its halves', () => {
    const codes = fc.array(fc.integer({ min: -1_000_000, max: 1_000_000 }), {
      minLength: 2,
      maxLength: 60,
    });
    const mean = (values: readonly number[]): number =>
      values.reduce((sum, value) => sum + value, 0) / values.length;
    holds(
      fc.property(codes, (taken) => {
        const measurement = new Measurement(taken.length);
        for (const code of taken) measurement.take(code);
        measurement.take(5e9);
        const centre = mean(taken);
        const squares = taken.reduce((sum, code) => sum + (code - centre) ** 2, 0);
        const half = Math.floor(taken.length / 2);
        expect(measurement.done).toBe(true);
        expect(measurement.meanCode).toBeCloseTo(centre, 4);
        expect(measurement.sdCode).toBeCloseTo(Math.sqrt(squares / (taken.length - 1)), 4);
        expect(measurement.driftCode).toBeCloseTo(
          mean(taken.slice(half)) - mean(taken.slice(0, half)),
          4,
        );
      }),
    );
  });
});
