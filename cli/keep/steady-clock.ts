/** This computer's clock as the keeper goes by it: one that somebody sets counts from the next round on, for all at once. */
import { WATCH_LIMITS } from './limits';

export class SteadyClock {
  /** Between the clock of this computer and the one that nobody sets. */
  #apartMs: number;

  constructor(
    private readonly now: () => number,
    private readonly steadyMs: () => number,
  ) {
    this.#apartMs = now() - steadyMs();
  }

  /** Unix ms by the clock as it was set at the last round. */
  get nowMs(): number {
    return this.steadyMs() + this.#apartMs;
  }

  /** How far the clock was set since the last round, ms; 0 where it goes on as it did. */
  movedMs(): number {
    const movedMs = this.now() - this.nowMs;
    if (Math.abs(movedMs) < WATCH_LIMITS.jumpMs) return 0;
    this.#apartMs += movedMs;
    return movedMs;
  }
}
