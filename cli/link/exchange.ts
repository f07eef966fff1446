/**
 * Requests and replies over one open transport, each tried once. The board answers in the order it
 * is asked, so a damaged line, or a reply to a later request, tells at once that the reply to the
 * oldest one is lost; without a sign, waiting tells. Whoever asks decides whether to ask again.
 */
import { encodeUtf8 } from '../../shared/bytes';
import { createLineDecoder, type ReceivedLine } from '../../shared/link/framing';
import { LINK_LIMITS } from '../../shared/link/methods';
import { describeLine, meansDamage, type Reply, readMessage } from './message';
import type { Transport } from './transport';

/** No reply to one attempt. `silent`: nothing came. `damaged`: it was lost on the line. `closed`: so is the port. */
export class Missed extends Error {
  constructor(readonly how: 'silent' | 'damaged' | 'closed') {
    super(`no reply: ${how}`);
    this.name = 'Missed';
  }
}

export interface Exchange {
  /** Sends `line`, a request with this `id`, and waits for its reply. Throws `Missed`. */
  ask(id: number, line: Uint8Array): Promise<Reply>;
  readonly isOpen: boolean;
  /** The first thing heard that no controller of ours would say, for people; or null. */
  readonly strange: string | null;
  close(): Promise<void>;
}

interface Waiting {
  readonly sinceMs: number;
  readonly resolve: (reply: Reply) => void;
  readonly reject: (missed: Missed) => void;
}

/** Requests without a reply yet, in the order sent, which is the order of the replies. */
class Queue {
  readonly #waiting = new Map<number, Waiting>();
  #heardMs = 0;
  /** Before the first reply, rubbish may be left over from somebody else's session. */
  #acquainted = false;
  #timer: NodeJS.Timeout | undefined;

  constructor(private readonly replyMs: number) {}

  /** Waits for the reply to a request that is just being sent. Throws `Missed`. */
  wait(id: number): Promise<Reply> {
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { sinceMs: performance.now(), resolve, reject });
      if (this.#waiting.size === 1) this.#watch();
    });
  }

  /** A sound line has come: `reply` to `id`, or of nobody's request. */
  heard(id: number | null, reply: Reply): void {
    this.#heardMs = performance.now();
    if (id !== null) this.#settle(id, reply);
    else if (meansDamage(reply)) this.#missOldest();
    this.#watch();
  }

  /** Something has come that is no sound line: the oldest reply, as far as anybody can tell. */
  heardDamage(): void {
    this.#missOldest();
    this.#watch();
  }

  /** No reply comes any more. */
  close(): void {
    clearTimeout(this.#timer);
    for (const [id] of this.#waiting) this.#miss(id, 'closed');
  }

  #settle(id: number, reply: Reply): void {
    const entry = this.#waiting.get(id);
    // A late reply to a request that was given up, or somebody else's.
    if (entry === undefined) return;
    this.#acquainted = true;
    for (const [older] of this.#waiting) {
      if (older === id) break;
      this.#miss(older, 'damaged');
    }
    this.#waiting.delete(id);
    entry.resolve(reply);
  }

  #miss(id: number, how: Missed['how']): void {
    const entry = this.#waiting.get(id);
    this.#waiting.delete(id);
    entry?.reject(new Missed(how));
  }

  #missOldest(): void {
    const [id] = this.#oldest() ?? [];
    if (this.#acquainted && id !== undefined) this.#miss(id, 'damaged');
  }

  #oldest(): [number, Waiting] | undefined {
    return this.#waiting.entries().next().value;
  }

  /** Gives the oldest request up when nothing sound has come for `replyMs`. */
  #watch(): void {
    clearTimeout(this.#timer);
    const [id, entry] = this.#oldest() ?? [];
    if (id === undefined || entry === undefined) return;
    const deadlineMs = Math.max(entry.sinceMs, this.#heardMs) + this.replyMs;
    this.#timer = setTimeout(() => {
      this.#miss(id, 'silent');
      this.#watch();
    }, deadlineMs - performance.now());
  }
}

/** Takes over an open transport. `replyMs`: see `LinkTiming`. */
export function createExchange(transport: Transport, replyMs: number): Exchange {
  const queue = new Queue(replyMs);
  let isOpen = true;
  let strange: string | null = null;

  function receive(line: ReceivedLine): void {
    const message = readMessage(line);
    if (message === null) {
      strange ??= describeLine(line);
      queue.heardDamage();
    } else queue.heard(message.id, message.reply);
  }

  transport.listen({
    bytes: createLineDecoder(LINK_LIMITS.lineToHostBytes, receive),
    closed() {
      isOpen = false;
      queue.close();
    },
  });
  // Ends whatever half line the board still holds from an earlier session.
  transport.write(encodeUtf8('\n'));

  return {
    ask(id, line) {
      if (!isOpen) return Promise.reject(new Missed('closed'));
      const reply = queue.wait(id);
      transport.write(line);
      return reply;
    },
    get isOpen() {
      return isOpen;
    },
    get strange() {
      return strange;
    },
    close: () => transport.close(),
  };
}
