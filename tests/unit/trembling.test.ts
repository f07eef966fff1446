import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import {
  type BeforeTrembling,
  beginsToTremble,
  nextTrembling,
  type Trembling,
} from '../../firmware/control/trembling';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { SCALE_WINDOW_CODES } from '../../shared/physics/bridge';
import { meanAndCv } from '../../shared/physics/pump';
import { HOUR_MS, HOUR_S, MINUTE_S, SECOND_MS } from '../../shared/units/time';
import { holds, SEEDS } from '../properties';

/** What a mean over five minutes may be off by, as a share of the noise: four standard deviations. */
const MEAN_SHARE = 0.165;
/** Trays of a property that holds for nearly all. */
const TRAYS = 10;

/** A tray on a scale that trembles by `noisyG`, from its first reading on. */
class TremblingTray {
  readonly #random: Random;
  #state: Trembling | null = null;
  #before: BeforeTrembling;
  #uptimeMs = 0;
  /** The window of the scale: what it says is its mean. */
  readonly #codesG: number[] = [];
  /** What it rested at until it jumped, each time, g. */
  readonly restedG: number[] = [];
  /** By how much more the scale says that it trembles: a jump counts for a while. */
  jumpNoiseG = 0;

  constructor(
    seed: number,
    private readonly noisyG: number,
    before: BeforeTrembling,
  ) {
    this.#random = new Random(seed);
    this.#before = before;
  }

  /** The weight from before the hand, as it goes along, g. */
  get beforeG(): number {
    return this.#before.beforeG;
  }

  /** A reading each second, of a tray that weighs so much after so many of them, g. */
  read(seconds: number, trueG: (second: number) => number): void {
    for (let second = 0; second < seconds; second++) {
      this.#uptimeMs += SECOND_MS;
      const { noisyG } = this;
      this.#codesG.push(trueG(second) + noisyG * this.#random.normal());
      if (this.#codesG.length > SCALE_WINDOW_CODES) this.#codesG.shift();
      const grams = meanAndCv(this.#codesG).mean;
      const saidG = noisyG + this.jumpNoiseG;
      const input = { grams, noisyG: saidG, uptimeMs: this.#uptimeMs, dtMs: SECOND_MS };
      if (this.#state === null) {
        this.#state = beginsToTremble(input);
        continue;
      }
      const next = nextTrembling(this.#state, input, this.#before);
      const { state, slowG, driesGPerMs, restedG } = next;
      if (restedG !== null) this.restedG.push(restedG);
      this.#state = state;
      this.#before = { beforeG: this.#before.beforeG + slowG, driesGPerMs };
    }
  }
}

describe.each(SEEDS)('a tray on a scale that trembles, seed %d', (seed) => {
  it('has gained and lost nothing, however much it trembles and for however long', () => {
    for (const noisyG of [5, 20, 150]) {
      const tray = new TremblingTray(seed, noisyG, { beforeG: 4_000, driesGPerMs: 0 });
      tray.read(3 * HOUR_S, () => 4_000);
      // It is off by what it was found at, and by what it comes to: one of 750 by more than one of them alone may be.
      expect(Math.abs(tray.beforeG - 4_000)).toBeLessThan(2 * noisyG * MEAN_SHARE);
    }
  });

  it('has lost nothing by a thing of 600 g that was taken off in its first half hour', () => {
    const tray = new TremblingTray(seed, 50, { beforeG: 4_600, driesGPerMs: 0 });
    tray.read(30 * MINUTE_S, () => 4_600);
    tray.read(HOUR_S, () => 4_000);
    expect(Math.abs(tray.beforeG - 4_600)).toBeLessThan(50 * MEAN_SHARE);
  });

  it('dries as it did before, where nobody can see that it dries at another pace', () => {
    const driesGPerMs = 6 / 3_600_000;
    const offG = Array.from({ length: TRAYS }, (_, i) => {
      const tray = new TremblingTray(seed + i, 150, { beforeG: 4_000, driesGPerMs });
      tray.read(HOUR_S, (second) => 4_000 - (6 * second) / HOUR_S);
      return Math.abs(tray.beforeG - 3_994);
    });
    // One of three hundred wanders by more than four standard deviations of its mean.
    expect(offG.filter((g) => g < 0.1).length).toBeGreaterThanOrEqual(TRAYS - 3);
  });

  it('dries by no more than it falls, in the hour after something was put on it as well', () => {
    for (const noisyG of [5, 12]) {
      const tray = new TremblingTray(seed, noisyG, { beforeG: 4_000, driesGPerMs: 18 / 3_600_000 });
      tray.read(10, () => 4_000);
      tray.read(HOUR_S, (second) => 4_364 - (3 * second) / HOUR_S);
      // It dries as before for the seven minutes in which its mean is found, and that is found to its noise.
      expect(tray.beforeG).toBeGreaterThan(3_995 - 4 * noisyG * MEAN_SHARE);
    }
  });

  it('has lost nothing by the water that runs off in the hour after it was poured, nor gained by the rest', () => {
    const tray = new TremblingTray(seed, 10, { beforeG: 4_000, driesGPerMs: 6 / 3_600_000 });
    tray.read(10, () => 4_000);
    tray.read(10 * MINUTE_S, (second) => 4_300 + second / 2);
    tray.read(50 * MINUTE_S, (second) => 4_400 + 200 * Math.exp(-second / (15 * MINUTE_S)));
    expect(tray.beforeG).toBeLessThanOrEqual(4_000);
    expect(tray.beforeG).toBeGreaterThan(3_993);
  });

  it('that dries faster than before is followed', () => {
    const tray = new TremblingTray(seed, 10, { beforeG: 4_000, driesGPerMs: 0 });
    tray.read(6 * HOUR_S, (second) => 4_000 - (30 * second) / HOUR_S);
    expect(Math.abs(tray.beforeG - 3_820)).toBeLessThan(8);
  });

  it.each([90, 300, 900])(
    'that a cloth draws dry by %d g an hour is followed, and no hand did it',
    (gPerH) => {
      const lagsG = gPerH * (WEIGHT_LIMITS.noisyMeanMs / HOUR_MS);
      for (const noisyG of [5, 10, 20]) {
        const tray = new TremblingTray(seed, noisyG, { beforeG: 4_000, driesGPerMs: 0 });
        tray.read(HOUR_S, (second) => 4_000 - (gPerH * second) / HOUR_S);
        // Its mean is found five minutes late, and follows so far behind.
        const behindG = tray.beforeG - (4_000 - gPerH);
        expect(Math.abs(behindG - 2 * lagsG)).toBeLessThan(lagsG + noisyG);
        expect(tray.restedG).toEqual([]);
      }
    },
  );

  it('has jumped, though the jump hid in the noise that it made for a minute', () => {
    const tray = new TremblingTray(seed, 150, { beforeG: 4_900, driesGPerMs: 0 });
    tray.read(20 * MINUTE_S, () => 4_900);
    tray.jumpNoiseG = 100;
    tray.read(MINUTE_S, () => 4_400);
    tray.jumpNoiseG = 0;
    tray.read(20 * MINUTE_S, () => 4_400);
    expect(tray.restedG).toHaveLength(1);
    // The mean, and what is known from before, went along for that minute.
    expect(Math.abs(tray.beforeG - 4_900)).toBeLessThan(120);
  });

  it('is known by what it rested at as it jumps, once the mean there was found', () => {
    const tray = new TremblingTray(seed, 10, { beforeG: 4_000, driesGPerMs: 0 });
    tray.read(HOUR_S, () => 4_000);
    tray.read(20 * MINUTE_S, () => 4_200);
    // Two minutes are too short to find it.
    tray.read(2 * MINUTE_S, () => 4_500);
    tray.read(20 * MINUTE_S, () => 4_100);
    expect(tray.restedG).toHaveLength(2);
    expect(Math.abs((tray.restedG[0] ?? 0) - 4_000)).toBeLessThan(10 * MEAN_SHARE);
    expect(Math.abs((tray.restedG[1] ?? 0) - 4_200)).toBeLessThan(10 * MEAN_SHARE);
  });

  it('is known by what it rests at an hour after it jumped, once', () => {
    const tray = new TremblingTray(seed, 10, { beforeG: 4_000, driesGPerMs: 0 });
    tray.read(HOUR_S / 2, () => 4_000);
    tray.read(HOUR_S, () => 4_500);
    expect(tray.restedG).toHaveLength(1);
    tray.read(4 * HOUR_S, () => 4_500);
    expect(tray.restedG).toHaveLength(2);
    expect(Math.abs((tray.restedG[1] ?? 0) - 4_500)).toBeLessThan(10 * MEAN_SHARE);
  });
});

/** Any reading a second after the last: within its noise, or as far off as a hand, with a pause now and then. */
const anyReading = fc.record({
  grams: fc.integer({ min: 0, max: 8_000 }),
  noisyG: fc.integer({ min: 3, max: 200 }),
  dtMs: fc.constantFrom(SECOND_MS, SECOND_MS, 30 * SECOND_MS),
});
const anyCourse = fc.array(anyReading, { minLength: 1, maxLength: 120, size: 'max' });
/** The same of a tray that nobody touches: no reading is as far from another as a hand moves it. */
const untouched = fc.array(
  fc.record({
    grams: fc.integer({ min: 4_000, max: 4_000 + WEIGHT_LIMITS.handlingG }),
    noisyG: fc.integer({ min: 3, max: 20 }),
    dtMs: fc.constant(30 * SECOND_MS),
  }),
  { minLength: 1, maxLength: 120, size: 'max' },
);
const anyBefore = fc.record({
  beforeG: fc.integer({ min: 0, max: 8_000 }),
  driesGPerMs: fc.integer({ min: -5, max: 40 }).map((gPerH) => gPerH / HOUR_MS),
});
type Read = { readonly grams: number; readonly noisyG: number; readonly dtMs: number };

/** Each reading with what came of it, from a scale that begins to tremble with the first. */
function stepsOf(course: readonly Read[], before: BeforeTrembling) {
  let uptimeMs = 0;
  let known = before;
  let state: Trembling | null = null;
  return course.flatMap((read) => {
    uptimeMs += read.dtMs;
    const input = { ...read, uptimeMs };
    if (state === null) {
      state = beginsToTremble(input);
      return [];
    }
    const last = { state, known };
    const step = nextTrembling(state, input, known);
    state = step.state;
    known = { beforeG: known.beforeG + step.slowG, driesGPerMs: step.driesGPerMs };
    return [{ ...step, input, last, known }];
  });
}

describe('over any course of readings', () => {
  it('a jump, and all of the minute after it, is a hand’s: the tray only dries as it did', () => {
    holds(
      fc.property(anyCourse, anyBefore, (course, before) => {
        for (const { state, slowG, driesGPerMs, input, last } of stepsOf(course, before)) {
          const driedG = Math.max(0, last.known.driesGPerMs) * input.dtMs;
          const jumped =
            Math.abs(input.grams - last.state.nearG) >
            Math.max(WEIGHT_LIMITS.handlingG, WEIGHT_LIMITS.noisyJumpSigmas * input.noisyG);
          if (!jumped && input.uptimeMs - last.state.jumpedMs >= WEIGHT_LIMITS.noisyJumpMs)
            continue;
          expect(slowG).toBe(-driedG);
          expect(driesGPerMs).toBe(last.known.driesGPerMs);
          expect(state.meanG).toBe(input.grams);
        }
      }),
    );
  });

  it('an untouched tray is taken for something between what it dried to and its mean: noise is no gain', () => {
    holds(
      fc.property(untouched, anyBefore, (course, before) => {
        for (const { state, input, last } of stepsOf(course, before)) {
          const driedG = Math.max(0, last.known.driesGPerMs) * input.dtMs;
          const driedToG = last.state.stoodG - driedG;
          expect(state.stoodG).toBeLessThanOrEqual(Math.max(driedToG, state.meanG) + 1e-6);
          expect(state.stoodG).toBeGreaterThanOrEqual(Math.min(driedToG, state.meanG) - 1e-6);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('a tray that wanders by less than its mean may be off has done nothing', () => {
    holds(
      fc.property(fc.integer(), fc.integer({ min: 3, max: 200 }), (seed, noisyG) => {
        const random = new Random(seed);
        const course = Array.from({ length: 600 }, () => ({
          grams: 4_000 + random.between(-0.08, 0.08) * noisyG,
          noisyG,
          dtMs: SECOND_MS,
        }));
        for (const { known } of stepsOf(course, { beforeG: 4_500, driesGPerMs: 0 })) {
          expect(known.beforeG).toBe(4_500);
        }
      }),
      { numRuns: 20 },
    );
  });

  it('what the mean does while it is being found, in the minutes after a hand, is no drying', () => {
    const noise = fc.integer({ min: 3, max: 50 });
    holds(
      fc.property(noise, fc.integer({ min: 100, max: 400 }), (noisyG, sinksG) => {
        const course = Array.from({ length: WEIGHT_LIMITS.noisyMeanMs / SECOND_MS }, (_, i) => ({
          grams: 4_000 - (sinksG * i * SECOND_MS) / WEIGHT_LIMITS.noisyMeanMs,
          noisyG,
          dtMs: SECOND_MS,
        }));
        for (const { known } of stepsOf(course, { beforeG: 4_500, driesGPerMs: 0 })) {
          expect(known).toEqual({ beforeG: 4_500, driesGPerMs: 0 });
        }
      }),
      { numRuns: 10 },
    );
  });

  it('what it loses in the hour after a rise runs off, and from then on it is the tray that dries', () => {
    const noise = fc.integer({ min: 3, max: 10 });
    const paceGPerH = fc.integer({ min: 10, max: 60 });
    holds(
      fc.property(noise, paceGPerH, (noisyG, gPerH) => {
        const dtMs = 10 * SECOND_MS;
        const lostG = (ms: number) => (gPerH * ms) / HOUR_MS;
        const course = Array.from({ length: (5 * HOUR_MS) / dtMs }, (_, i) => ({
          grams: 4_000 - lostG(i * dtMs),
          noisyG,
          dtMs,
        }));
        const steps = stepsOf(course, { beforeG: 3_700, driesGPerMs: 0 });
        for (const { input, known } of steps) {
          if (input.uptimeMs <= WEIGHT_LIMITS.standsMs) expect(known.beforeG).toBe(3_700);
        }
        const dried = 3_700 - (steps.at(-1)?.known.beforeG ?? Number.NaN);
        // The mean lags by its five minutes.
        expect(Math.abs(dried - lostG(4 * HOUR_MS))).toBeLessThan(
          noisyG + lostG(WEIGHT_LIMITS.noisyMeanMs),
        );
      }),
      { numRuns: 10 },
    );
  });

  it('a tray that stands still for an hour after it weighs what it does, to a sixth of its noise', () => {
    holds(
      fc.property(anyCourse, anyBefore, anyReading, (course, before, { grams, noisyG }) => {
        const still = new Array<Read>(HOUR_S + 2 * MINUTE_S).fill({
          grams,
          noisyG,
          dtMs: SECOND_MS,
        });
        const end = stepsOf([...course, ...still], before).at(-1);
        expect(Math.abs((end?.state.stoodG ?? Number.NaN) - grams)).toBeLessThan(
          noisyG * MEAN_SHARE,
        );
      }),
      { numRuns: 16 },
    );
  });
});
