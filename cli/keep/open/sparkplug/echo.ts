/**
 * Births that come back from the broker. One that does not was thrown away there: what a user may not publish, a broker
 * drops without a word where the quality of service is 0. One that nobody here told is of another node of the same name.
 * Pure.
 */
import { isSameBytes } from '../../../../shared/bytes';
import { OPEN_LIMITS } from '../../limits';

export class Echo {
  /** Births that have not come back. */
  #awaited: readonly Uint8Array[] = [];
  #sinceMs = 0;

  /** A new session: what did not come back in the last one never will. */
  sessionBegins(): void {
    this.#awaited = [];
  }

  /** A birth was published at `steadyMs`. */
  told(birth: Uint8Array, steadyMs: number): void {
    if (this.#awaited.length === 0) this.#sinceMs = steadyMs;
    this.#awaited = [...this.#awaited, birth].slice(-OPEN_LIMITS.echoesMost);
  }

  /**
   * A birth came from the broker. `newer`: of a node that came after this one, whose births were back already. One that
   * comes before them is older: it hears of this one, and it is for it to go.
   */
  heard(birth: Uint8Array): 'ours' | 'older' | 'newer' {
    if (this.#awaited.some((one) => isSameBytes(one, birth))) {
      this.#awaited = this.#awaited.filter((one) => !isSameBytes(one, birth));
      return 'ours';
    }
    return this.#awaited.length > 0 ? 'older' : 'newer';
  }

  isMissing(steadyMs: number): boolean {
    return this.#awaited.length > 0 && steadyMs - this.#sinceMs >= OPEN_LIMITS.echoMs;
  }
}
