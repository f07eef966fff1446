/**
 * A second switch, as the board has one each in the supplies of mat and pump (`hardware/circuit/second-switches.ts`): it
 * closes when its pin rises, and opens by itself a while after the last rise. No level of the pin matters, and no rise
 * means open.
 */

/** Open so long after the last rise: in the middle of the 0.2 to 0.8 s that `tests/hardware/simulation.test.ts` finds, ms. */
export const SECOND_OPENS_MS = 500;

/** What has a second switch in its supply. */
export type Fed = 'mat' | 'pump';

export class SecondSwitch {
  private closedUntilMs = Number.NEGATIVE_INFINITY;

  /** The pin goes up at `atMs`. */
  rises(atMs: number): void {
    this.closedUntilMs = atMs + SECOND_OPENS_MS;
  }

  isClosed(atMs: number): boolean {
    return atMs < this.closedUntilMs;
  }

  /** For how much of a stretch without a rise in it the switch was closed, ms. */
  closedMs(fromMs: number, toMs: number): number {
    return Math.max(0, Math.min(toMs, this.closedUntilMs) - fromMs);
  }
}
