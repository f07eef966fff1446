/** A queue of messages on their way into the database: as many at a time as wait, acknowledged once they are committed. */
import { ENTRY_BYTES } from '../../../shared/journal/codec';
import type { Received } from '../broker/receiver';
import type { DatabaseError } from '../database/connect';
import type { FleetStore } from '../database/store';
import { COLLECT_LIMITS } from '../limits';
import { type Batch, decodeBatch, placeOf } from '../wire';

export interface Counts {
  /** Entries that are in the database by us. */
  entries: number;
  /** Those that were there already. */
  known: number;
  /** Messages that were none of ours, or that the database does not take. */
  refused: number;
}

interface Waiting {
  readonly batch: Batch;
  readonly message: Received;
}

export interface LaneParts {
  /** Topic that all of the fleet's begin with. */
  readonly base: string;
  readonly write: FleetStore['write'];
  /** What the database throws, as a `DatabaseError`. */
  readonly understood: (error: unknown) => DatabaseError;
  readonly counts: Counts;
  readonly say: (text: string) => void;
  /** The database is not to be had: nothing more is acknowledged. Called once. */
  readonly failed: (error: DatabaseError) => void;
}

export class Lane {
  #queue: Waiting[] = [];
  #working: Promise<void> | null = null;
  #hasFailed = false;

  constructor(private readonly parts: LaneParts) {}

  /** Whether everything that came is stored, but for what is being stored now. */
  get isCaughtUp(): boolean {
    return this.#queue.length < COLLECT_LIMITS.commitMessages / 2;
  }

  take(message: Received): void {
    const place = placeOf(this.parts.base, message.topic);
    const batch = place === null ? null : decodeBatch(place, message.payload);
    if (batch === null) {
      this.#refuse(message, 'is no message of a keeper');
      return;
    }
    this.#queue.push({ batch, message });
    this.#working ??= this.#work().finally(() => {
      this.#working = null;
    });
  }

  /** Resolves when all that was taken is stored, or cannot be. */
  async settled(): Promise<void> {
    await this.#working;
  }

  async #work(): Promise<void> {
    // What arrives together is stored together.
    await new Promise((resolve) => setImmediate(resolve));
    while (this.#queue.length > 0 && !this.#hasFailed) {
      const count = commitSize(this.#queue);
      const some = this.#queue.slice(0, count);
      if (!(await this.#store(some))) return;
      this.#queue = this.#queue.slice(count);
    }
  }

  /** Whether the database has taken them, or said that it never will. */
  async #store(some: readonly Waiting[]): Promise<boolean> {
    try {
      const { entries, known } = await this.parts.write(some.map(({ batch }) => batch));
      this.parts.counts.entries += entries;
      this.parts.counts.known += known;
    } catch (error) {
      return this.#notStored(some, this.parts.understood(error));
    }
    for (const { message } of some) message.acknowledge();
    return true;
  }

  async #notStored(some: readonly Waiting[], error: DatabaseError): Promise<boolean> {
    const [only] = some;
    if (error.kind !== 'data') {
      this.#hasFailed = true;
      this.parts.failed(error);
      return false;
    }
    if (some.length === 1 && only !== undefined) {
      // It would come again for ever, and nothing behind it. The keeper still has it, and its gap stays in sight.
      this.#refuse(only.message, `is not taken by the database: ${error.message}`);
      return true;
    }
    for (const one of some) if (!(await this.#store([one]))) return false;
    return true;
  }

  #refuse(message: Received, why: string): void {
    const { counts, say } = this.parts;
    counts.refused += 1;
    say(`What came at ${message.topic} ${why}. It is left out.`);
    message.acknowledge();
  }
}

/** How many of the queue go into one commit: one at least. */
function commitSize(queue: readonly Waiting[]): number {
  let entries = 0;
  let count = 0;
  for (const { batch } of queue) {
    entries += batch.bytes.length / ENTRY_BYTES;
    if (count > 0 && entries > COLLECT_LIMITS.commitEntries) break;
    count += 1;
    if (count === COLLECT_LIMITS.commitMessages) break;
  }
  return count;
}
