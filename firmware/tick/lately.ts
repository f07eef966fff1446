/** What the weight of the tray did in the last minutes, whatever moved it but hands. */
import { MINUTE_MS } from '../../shared/units/time';
import { MinuteHistory } from '../guard/minute-history';
import { HANDS_LIMITS, MARK_LIMITS, WEIGHT_LIMITS } from '../limits';

/** A tray drains or fills by what its weight did in so many minutes. */
const LATELY_MIN = WEIGHT_LIMITS.fallingMs / MINUTE_MS;
const FALLS_MIN = MARK_LIMITS.movesMs / MINUTE_MS - LATELY_MIN;

export class Lately {
  /** Each minute's weight since the last hand. */
  readonly #weights = new MinuteHistory(LATELY_MIN + 1);
  /** What it had lost in ten minutes by each of them, g: a hand that comes then takes nothing of that back. */
  readonly #falls = new MinuteHistory(FALLS_MIN + 1);

  /** A minute passed, at `grams` as read; or with a hand at the tray. */
  minute(grams: number, handled: boolean): void {
    if (handled) this.#weights.clear();
    else this.#weights.push(grams);
    this.#falls.push(-this.gainedG);
  }

  /** What it gained in the last ten minutes, g; NaN when hands were at it meanwhile. */
  get gainedG(): number {
    return this.#weights.ago(0) - this.#weights.ago(LATELY_MIN);
  }

  /** The same of the last two minutes. */
  get gainedJustNowG(): number {
    return this.#weights.ago(0) - this.#weights.ago(HANDS_LIMITS.stillMin);
  }

  /** Most that it lost in any ten minutes of the last twenty without a hand, g; 0 where nothing is known to have gone. */
  get lostMostG(): number {
    let mostG = 0;
    for (let min = 0; min <= FALLS_MIN; min++) {
      const fellG = this.#falls.ago(min);
      if (fellG > mostG) mostG = fellG;
    }
    return mostG;
  }
}
