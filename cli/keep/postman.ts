/** Takes what is due out of the outbox to its doors, one after the other at each, until a door has taken it. */
import type { Tell } from './config/plan';
import { type Door, DoorError, idOf } from './doors/door';
import { DOOR_LIMITS } from './limits';
import type { Outbox } from './outbox/outbox';
import type { Delivery } from './outbox/state';

/** How a door does. */
export interface DoorState {
  readonly door: string;
  readonly waiting: number;
  /** Since when nothing has gone out there, and what was said last; null while it works. */
  readonly failingSinceMs: number | null;
  readonly why: string | null;
}

/** A time before all others. */
const NEVER_MS = Number.NEGATIVE_INFINITY;

interface Held {
  /** Not tried again before this. */
  untilMs: number;
  refusals: number;
}

interface Way {
  readonly name: string;
  readonly door: Door;
  readonly held: Held;
  failingSinceMs: number | null;
  why: string | null;
  busy: boolean;
}

export interface PostmanOptions {
  /** Name of the keeper, as letters bear it. */
  readonly from: string;
  readonly now: () => number;
  /** Time that no setting of the clock moves, ms: pauses between two tries go by it. */
  readonly steadyMs: () => number;
  /** Told of what goes wrong with a door, and of its end. */
  readonly say: (text: string) => void;
}

export class Postman {
  readonly #ways: readonly Way[];
  /** Of single messages that were refused. */
  readonly #held = new Map<string, Held>();
  #stopping = false;
  #underWay: Promise<unknown> = Promise.resolve();

  constructor(
    doors: ReadonlyMap<string, Door>,
    private readonly tells: readonly Tell[],
    private readonly outbox: Outbox,
    private readonly options: PostmanOptions,
  ) {
    this.#ways = [...doors].map(([name, door]) => ({
      ...{ name, door, held: { untilMs: NEVER_MS, refusals: 0 } },
      ...{ failingSinceMs: null, why: null, busy: false },
    }));
  }

  /** Begins to send what is due; what is under way goes on. Never throws. */
  round(): void {
    const works = this.#ways.filter(({ busy }) => !busy).map((way) => this.#serve(way));
    this.#underWay = Promise.all([this.#underWay, ...works]);
  }

  /** Resolves when nothing is on its way. */
  async settled(): Promise<void> {
    await this.#underWay;
  }

  get states(): readonly DoorState[] {
    return this.#ways.map(({ name, failingSinceMs, why }) => ({
      door: name,
      waiting: this.#of(name).length,
      failingSinceMs,
      why,
    }));
  }

  /** Sends nothing more, and closes the doors. */
  async close(): Promise<void> {
    this.#stopping = true;
    await Promise.all(this.#ways.map(({ door }) => door.close().catch(() => undefined)));
  }

  #of(door: string): readonly Delivery[] {
    return this.outbox.pending.filter(({ tell }) => this.#tell(tell)?.door === door);
  }

  #tell(id: string): Tell | undefined {
    return this.tells.find((tell) => tell.id === id);
  }

  async #serve(way: Way): Promise<void> {
    way.busy = true;
    try {
      if (this.options.steadyMs() >= way.held.untilMs) await this.#tend(way);
      for (;;) {
        const next = this.#nextOf(way);
        if (next === undefined) return;
        await this.#send(way, next);
      }
    } finally {
      way.busy = false;
    }
  }

  async #tend(way: Way): Promise<void> {
    if (way.door.tend === undefined) return;
    try {
      await way.door.tend();
      this.#works(way);
    } catch (error) {
      this.#failed(way, null, error);
    }
  }

  /** The next that may go: urgent ones first, then in the order they were written. */
  #nextOf({ name, held }: Way): Delivery | undefined {
    const nowMs = this.options.now();
    const steadyMs = this.options.steadyMs();
    if (this.#stopping || steadyMs < held.untilMs) return undefined;
    const isHeld = (id: string): boolean => (this.#held.get(id)?.untilMs ?? NEVER_MS) > steadyMs;
    const ready = this.#of(name).filter(
      ({ id, notBeforeMs }) => notBeforeMs <= nowMs && !isHeld(id),
    );
    return ready.find(({ message }) => message.priority === 'high') ?? ready[0];
  }

  async #send(way: Way, delivery: Delivery): Promise<void> {
    const { from, now } = this.options;
    const { message, id, tell } = delivery;
    const { keeper } = this.outbox.memory;
    try {
      await way.door.send({
        ...{ id: idOf(id), from, message, nowMs: now(), to: this.#tell(tell)?.to ?? null },
        thread: message.topic === null ? null : `${keeper}-${message.topic}`,
      });
    } catch (error) {
      this.#failed(way, id, error);
      return;
    }
    this.#held.delete(id);
    this.outbox.sent(id, now());
    this.#works(way);
  }

  #works(way: Way): void {
    if (way.failingSinceMs !== null) this.options.say(`${way.name}: works again.`);
    way.failingSinceMs = null;
    way.why = null;
    way.held.refusals = 0;
    way.held.untilMs = NEVER_MS;
  }

  #failed(way: Way, delivery: string | null, error: unknown): void {
    // A mistake of ours must not end the keeping of trays: it is told like any other failure, without what it quotes.
    const known =
      error instanceof DoorError
        ? error
        : new DoorError('door', `Something went wrong inside the program (${Object(error).name}).`);
    const isOfMessage = known.scope === 'message' && delivery !== null;
    const held = isOfMessage ? this.#heldOf(delivery) : way.held;
    const waitMs = Math.max(known.waitMs, againAfterMs(held.refusals));
    held.refusals += 1;
    held.untilMs = this.options.steadyMs() + waitMs;
    if (way.why !== known.message) {
      const seconds = Math.round(waitMs / 1000);
      this.options.say(`${way.name}: ${known.message} Tried again in ${seconds} s.`);
    }
    way.failingSinceMs ??= this.options.now();
    way.why = known.message;
  }

  #heldOf(delivery: string): Held {
    const held = this.#held.get(delivery) ?? { untilMs: NEVER_MS, refusals: 0 };
    this.#held.set(delivery, held);
    return held;
  }
}

const againAfterMs = (refusals: number): number =>
  Math.min(DOOR_LIMITS.againMostMs, DOOR_LIMITS.againMs * 2 ** Math.min(refusals, 20));
