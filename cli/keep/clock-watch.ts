/** Notices that this computer's clock was set. */
import { WATCH_LIMITS } from './limits';

export class ClockWatch {
  /** Between the clock of this computer and the one that nobody sets. */
  #apartMs: number;

  constructor(
    private readonly now: () => number,
    private readonly steadyMs: () => number,
  ) {
    this.#apartMs = now() - steadyMs();
  }

  /** How far it was set since this was asked last, ms; 0 where it goes on as it did. */
  movedMs(): number {
    const movedMs = this.now() - this.steadyMs() - this.#apartMs;
    if (Math.abs(movedMs) < WATCH_LIMITS.jumpMs) return 0;
    this.#apartMs += movedMs;
    return movedMs;
  }
}
