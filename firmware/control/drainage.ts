/**
 * A tray that was watered until it drains, told from its weight alone: what ran out at first and then no more
 * leaves it at container capacity. A pump that gives less than planned, a leak, a hand do not look so: nothing
 * runs out, or it does not end.
 */
import { DRAINAGE_LIMITS as LIMITS } from '../limits';
import { MinuteHistory } from './minute-history';

const STEP_MIN = LIMITS.stepMs / 60_000;
const MOST_MIN = LIMITS.mostMs / 60_000;

/** The minutes after water was given. */
export class Drainage {
  readonly #history = new MinuteHistory(2 * STEP_MIN + 1);
  /** Minutes since water was given, and the weight then, g; not watching while that is NaN. */
  #minutes = 0;
  #firstG = Number.NaN;
  #watching = false;

  /** Water was given, by the pump or by hand, and now stands as high as it will. */
  watered(): void {
    this.#history.clear();
    this.#minutes = 0;
    this.#firstG = Number.NaN;
    this.#watching = true;
  }

  /** A hand, a dose that begins, a scale in doubt: what drains now is not known any more. */
  interrupt(): void {
    this.#watching = false;
  }

  /**
   * One minute more, at `grams` as read. The weight that it has drained down to, g, once; NaN in all other
   * minutes. Drained are at least `leastG`, and what is lost from then on is lost evenly: it dries.
   */
  minute(grams: number): number {
    if (!this.#watching) return Number.NaN;
    if (Number.isNaN(this.#firstG)) this.#firstG = grams;
    this.#history.push(grams);
    this.#minutes++;
    if (this.#minutes > MOST_MIN) this.#watching = false;
    const lostG = this.#history.ago(STEP_MIN) - grams;
    const lostBeforeG = this.#history.ago(2 * STEP_MIN) - grams - lostG;
    const even = Math.abs(lostBeforeG - lostG) <= LIMITS.evenG;
    if (!even) return Number.NaN;
    this.#watching = false;
    const driedG = (Math.max(0, lostG) / STEP_MIN) * (this.#minutes - 1);
    const drainedG = this.#firstG - grams - driedG;
    return drainedG >= LIMITS.leastG ? grams : Number.NaN;
  }
}
