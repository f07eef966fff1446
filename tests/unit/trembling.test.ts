import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import {
  type BeforeTrembling,
  beginsToTremble,
  nextTrembling,
  type Trembling,
} from '../../firmware/control/trembling';
import { SCALE_WINDOW_CODES } from '../../shared/physics/bridge';
import { meanAndCv } from '../../shared/physics/pump';
import { HOUR_S, MINUTE_S, SECOND_MS } from '../../shared/units/time';
import { SEEDS } from '../properties';

/** What a mean over five minutes may be off by, as a share of the noise: four standard deviations. */
const MEAN_SHARE = 0.165;

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
      const input = { grams, noisyG, uptimeMs: this.#uptimeMs, dtMs: SECOND_MS };
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
      expect(Math.abs(tray.beforeG - 4_000)).toBeLessThan(noisyG * MEAN_SHARE);
    }
  });

  it('has lost nothing by a thing of 600 g that was taken off in its first half hour', () => {
    const tray = new TremblingTray(seed, 50, { beforeG: 4_600, driesGPerMs: 0 });
    tray.read(30 * MINUTE_S, () => 4_600);
    tray.read(HOUR_S, () => 4_000);
    expect(Math.abs(tray.beforeG - 4_600)).toBeLessThan(50 * MEAN_SHARE);
  });

  it('dries as it did before, where nobody can see that it dries at another pace', () => {
    const tray = new TremblingTray(seed, 150, { beforeG: 4_000, driesGPerMs: 6 / 3_600_000 });
    tray.read(HOUR_S, (second) => 4_000 - (6 * second) / HOUR_S);
    expect(Math.abs(tray.beforeG - 3_994)).toBeLessThan(0.1);
  });

  it('that dries faster than before is followed', () => {
    const tray = new TremblingTray(seed, 10, { beforeG: 4_000, driesGPerMs: 0 });
    tray.read(6 * HOUR_S, (second) => 4_000 - (30 * second) / HOUR_S);
    expect(Math.abs(tray.beforeG - 3_820)).toBeLessThan(8);
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
});
