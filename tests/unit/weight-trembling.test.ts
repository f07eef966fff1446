/** Hands and water on a scale that trembles by as much as a lid: what came at once is a hand's, and what came slowly flowed. */
import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import { SCALE_TRIM_CODES, SCALE_WINDOW_CODES } from '../../shared/physics/bridge';
import { meanAndCv } from '../../shared/physics/pump';
import { HOUR_S, MINUTE_S } from '../../shared/units/time';
import { SEEDS } from '../properties';
import { TRAY, TrayOnScale } from './tray-on-scale';

/** Trays of each seed. */
const TRAYS = Array.from({ length: 3 }, (_, i) => i);

/** A tray on a scale that has trembled by `noisyG` for an hour. */
class TremblingScale extends TrayOnScale {
  readonly #random: Random;
  /** The window of the scale: what it says is the mean of its middle. */
  readonly #codesG: number[];

  constructor(seed: number, grams: number, noisyG: number) {
    super(grams);
    this.#random = new Random(seed);
    this.noisyG = noisyG;
    this.#codesG = new Array<number>(SCALE_WINDOW_CODES).fill(grams);
    this.tremble(HOUR_S, () => grams);
  }

  /** A reading each second of what weighs so much after so many of them, g. */
  tremble(seconds: number, trueG: (second: number) => number): void {
    for (let second = 0; second < seconds; second++) {
      this.#codesG.push(trueG(second) + this.noisyG * this.#random.normal());
      this.#codesG.shift();
      const sorted = Float64Array.from(this.#codesG).sort();
      const middle = sorted.subarray(SCALE_TRIM_CODES, SCALE_WINDOW_CODES - SCALE_TRIM_CODES);
      this.read(meanAndCv([...middle]).mean, false);
    }
  }
}

describe.each(SEEDS)('on a scale that trembles, seed %d', (seed) => {
  it.each([12, 30])('by %d g, a lid of 150 g that is taken off is no water lost', (noisyG) => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, 4_400, noisyG);
      tray.tremble(2 * HOUR_S, () => 4_250);
      expect(tray.state.ledger.map(({ kind }) => kind)).toEqual(['off']);
      expect(Math.abs(tray.foreignG + 150)).toBeLessThan(noisyG);
    }
  });

  it.each([12, 30])('by %d g, 250 g put on a full tray are no water', (noisyG) => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, TRAY.capacityG, noisyG);
      tray.tremble(2 * HOUR_S, () => TRAY.capacityG + 250);
      expect(tray.state.ledger.map(({ kind }) => kind)).toEqual(['on']);
    }
  });

  it('what the first hand that it notices had moved by then is told with the rest', () => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, 4_400, 4);
      // It trembles by less than a hand does.
      expect(tray.handled).toBe(false);
      tray.tremble(2 * HOUR_S, () => 4_340);
      expect(tray.state.ledger.map(({ kind }) => kind)).toEqual(['off']);
    }
  });

  it.each([12, 30])('by %d g, what a pump floods it with is no thing', (noisyG) => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, 4_500, noisyG);
      tray.tremble(10 * MINUTE_S, (second) => 4_500 + second);
      tray.tremble(3 * HOUR_S, (second) => 4_600 + 500 * Math.exp(-second / (29 * MINUTE_S)));
      expect(tray.foreignG).toBe(0);
    }
  });

  it.each([12, 30])('by %d g, what a leak of half a gram a second takes is no lid', (noisyG) => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, 4_500, noisyG);
      tray.tremble(14 * MINUTE_S, (second) => 4_500 - second / 2);
      tray.tremble(2 * HOUR_S, () => 4_080);
      expect(tray.foreignG).toBe(0);
    }
  });

  it('two things that come within its five minutes are both told', () => {
    for (const i of TRAYS) {
      const tray = new TremblingScale(seed + i, 4_500, 30);
      tray.tremble(3 * MINUTE_S, () => 4_800);
      tray.tremble(2 * HOUR_S, () => 5_050);
      expect(Math.abs(tray.foreignG - 550)).toBeLessThan(30);
    }
  });
});
