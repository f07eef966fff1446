/**
 * The outbox: what was decided and what no door has taken yet, on disk before anything is sent. On a disk that is full
 * it goes on in memory, says so, and writes all of it as soon as there is room.
 */
import { randomBytes } from 'node:crypto';
import type { Memory } from '../decide/model';
import { OUTBOX_LIMITS } from '../limits';
import type { OutboxDisk } from './disk';
import { encodeRecord, replay } from './lines';
import { applied, type Delivery, type OutboxRecord, type OutboxState } from './state';

/** Why the disk does not take what it is given, and since when. */
export interface DiskTrouble {
  readonly sinceMs: number;
  /** The system's code, such as ENOSPC. */
  readonly code: string;
}

export class Outbox {
  #state: OutboxState;
  #trouble: DiskTrouble | null = null;
  #bytes = 0;

  private constructor(
    private readonly disk: OutboxDisk,
    state: OutboxState,
    /** Lines that the disk has spoilt. */
    readonly damaged: number,
    nowMs: number,
  ) {
    this.#state = state;
    // Shorter, and without a torn end that the next record would go on from.
    this.#write(() => this.#rewrite(), nowMs);
  }

  /** Opens what is on the disk, or begins anew, at `nowMs`. Throws the system's error where it cannot be read. */
  static open(disk: OutboxDisk, nowMs: number, draw = randomKeeper): Outbox {
    const { state, damaged } = replay(disk.read());
    const begun: OutboxState = {
      memory: { keeper: draw(), count: 0, morningMs: nowMs, trays: {} },
      pending: [],
    };
    return new Outbox(disk, state ?? begun, damaged, nowMs);
  }

  get memory(): Memory {
    return this.#state.memory;
  }

  get pending(): readonly Delivery[] {
    return this.#state.pending;
  }

  get trouble(): DiskTrouble | null {
    return this.#trouble;
  }

  /** Keeps a decision and its messages. */
  decided(
    memory: Memory,
    added: readonly Delivery[],
    withdrawn: readonly string[],
    nowMs: number,
  ): void {
    const changed = Object.entries(memory.trays).filter(
      ([name, tray]) => this.memory.trays[name] !== tray,
    );
    this.#keep(
      {
        is: 'decided',
        memory: { ...memory, trays: Object.fromEntries(changed) },
        added,
        withdrawn,
      },
      nowMs,
    );
  }

  /** A door has taken a delivery: it is never sent again. */
  sent(delivery: string, nowMs: number): void {
    this.#keep({ is: 'sent', delivery }, nowMs);
  }

  /** Tries again to write what the disk did not take. */
  mend(nowMs: number): void {
    if (this.#trouble !== null) this.#write(() => this.#rewrite(), nowMs);
  }

  #keep(record: OutboxRecord, nowMs: number): void {
    this.#state = bounded(applied(this.#state, record) ?? this.#state);
    const bytes = encodeRecord(record);
    this.#write(() => {
      if (this.#trouble !== null || this.#bytes + bytes.length > OUTBOX_LIMITS.rewriteBytes) {
        this.#rewrite();
        return;
      }
      this.disk.append(bytes);
      this.#bytes += bytes.length;
    }, nowMs);
  }

  #rewrite(): void {
    const all = encodeRecord({ is: 'all', state: this.#state });
    this.disk.replace(all);
    // What is pending may alone be more than the limit: then it is not written anew with each record.
    this.#bytes = Math.min(all.length, OUTBOX_LIMITS.rewriteBytes / 2);
  }

  #write(work: () => void, nowMs: number): void {
    try {
      work();
      this.#trouble = null;
    } catch (error) {
      const code = String(Object(error).code ?? 'unknown');
      // A crash of the program, and its own mistakes, are no trouble of the disk.
      if (typeof Object(error).code !== 'string') throw error;
      this.#trouble = { sinceMs: this.#trouble?.sinceMs ?? nowMs, code };
    }
  }
}

const randomKeeper = (): string => randomBytes(6).toString('hex');

/** The oldest of what can wait for ever is dropped first, high alarms never. */
function bounded(state: OutboxState): OutboxState {
  const surplus = state.pending.length - OUTBOX_LIMITS.pendingMost;
  if (surplus <= 0) return state;
  const dropped = new Set(
    state.pending
      .filter(({ message }) => message.priority !== 'high')
      .slice(0, surplus)
      .map(({ id }) => id),
  );
  return { ...state, pending: state.pending.filter(({ id }) => !dropped.has(id)) };
}
