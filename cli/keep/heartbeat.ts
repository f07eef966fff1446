/** A sign of life to an address that a watcher of the grower's choice expects: its absence is the watcher's alarm. */
import type { KeepPlan } from './config/plan';
import { hiding, partsOfAddress } from './config/secret';
import { quoted, reasonOf } from './doors/door';
import { DOOR_LIMITS } from './limits';

export class Heartbeat {
  #nextMs = Number.NEGATIVE_INFINITY;
  #failing = false;

  constructor(
    private readonly plan: NonNullable<KeepPlan['heartbeat']>,
    private readonly say: (text: string) => void,
  ) {}

  /** Sends one where it is time, by a clock that nobody sets. Never throws. */
  async round(steadyMs: number): Promise<void> {
    if (steadyMs < this.#nextMs) return;
    this.#nextMs = steadyMs + this.plan.everyMs;
    const why = await this.#send();
    if (why !== null && !this.#failing) this.say(`heartbeat: ${why}`);
    this.#failing = why !== null;
  }

  /** Why it did not arrive; null where it did. */
  async #send(): Promise<string | null> {
    const url = this.plan.url.reveal();
    try {
      const signal = AbortSignal.timeout(DOOR_LIMITS.sendMostMs);
      const answer = await fetch(url, { method: 'POST', signal, redirect: 'error' });
      await answer.body?.cancel();
      return answer.ok ? null : `The watcher answers ${answer.status}.`;
    } catch (error) {
      const told = error instanceof Error ? error.message : String(error);
      return reasonOf(error) ?? quoted(hiding(partsOfAddress(url))(told), DOOR_LIMITS.quoteChars);
    }
  }
}
