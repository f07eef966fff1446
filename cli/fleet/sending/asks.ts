/** What a keeper was asked to send again and has not yet: of one life the questions are one. */
import { SEND_LIMITS } from '../limits';
import type { Asked } from '../wire';

export class Asks {
  readonly #waiting = new Map<string, Asked>();

  get size(): number {
    return this.#waiting.size;
  }

  /** Beyond the most it is forgotten: who misses something asks again. */
  add({ controller, mark, from, to }: Asked): void {
    const key = `${controller} ${mark.sequence} ${mark.crc}`;
    const before = this.#waiting.get(key);
    if (before === undefined && this.#waiting.size >= SEND_LIMITS.asksMost) return;
    this.#waiting.set(key, {
      ...{ controller, mark },
      from: Math.min(from, before?.from ?? from),
      to: Math.max(to, before?.to ?? to),
    });
  }

  /** The one that has waited longest, which waits no more; null where none does. */
  take(): Asked | null {
    for (const [key, question] of this.#waiting) {
      this.#waiting.delete(key);
      return question;
    }
    return null;
  }
}
