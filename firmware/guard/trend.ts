/** How a reading moves, by the last hour of it: one value a minute, and over a start of the board as well. */
import { MinuteHistory } from './minute-history';

/** A trend is told over so many minutes. */
const TREND_MIN = 60;

/** By how much it has risen in how many minutes; 0 in 0 where nothing is known. */
export interface TrendSoFar {
  readonly roseK: number;
  readonly forMin: number;
}
export const NO_TREND: TrendSoFar = { roseK: 0, forMin: 0 };

/** The trend of one reading. What it did while nobody watched is no part of it. */
export class Trend {
  readonly #history = new MinuteHistory(TREND_MIN + 1);
  #before: TrendSoFar;

  /** `before` is what was known of it before this start. */
  constructor(before: TrendSoFar) {
    this.#before = before;
  }

  push(celsius: number): void {
    this.#history.push(celsius);
  }

  /** What was before is another matter. */
  clear(): void {
    this.#history.clear();
    this.#before = NO_TREND;
  }

  /** What is known of it now, the last hour at most: the next start goes on with it. What is left of the hour went as before. */
  get soFar(): TrendSoFar {
    const { spanMin } = this.#history;
    const roseK = spanMin > 0 ? this.#history.ago(0) - this.#history.ago(spanMin) : 0;
    const before = this.#before;
    const restMin = Math.min(before.forMin, TREND_MIN - spanMin);
    if (restMin === 0) return { roseK, forMin: spanMin };
    return { roseK: roseK + (before.roseK / before.forMin) * restMin, forMin: spanMin + restMin };
  }

  /** By how much it rises in an hour, K; NaN while less than an hour is known. */
  get risesK(): number {
    const { roseK, forMin } = this.soFar;
    return forMin < TREND_MIN ? Number.NaN : roseK;
  }
}
