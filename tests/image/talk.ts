/** The other end of a door of the emulated board: raw bytes, lines and calls, in simulated time. */
import type { Chip } from '../../firmware/bench/chip/chip';
import { DOOR, type Door } from '../../shared/board/map';
import { encodeUtf8, toBase64 } from '../../shared/bytes';
import { createLineDecoder, encodeLine, type ReceivedLine } from '../../shared/link/framing';
import { LINK_LIMITS } from '../../shared/link/methods';

/** Longest wait for an answer: a full page takes 0.4 s on UART0, and an erase may come in between. */
const ANSWER_MS = 3000;

/** Without an answer for so long a program asks again, so often at most. */
const LOST_MS = 1500;
const TRIES = 3;

/** Bytes of a profile image in one chunk: its line is far below the longest. */
const CHUNK_BYTES = 100;

/** Sends a profile image in chunks, for a load that has begun. */
export function sendChunks(talk: Talk, image: Uint8Array): void {
  for (let at = 0; at < image.length; ) {
    const data = toBase64(image, at, at + CHUNK_BYTES);
    at = Number(talk.call('profile.chunk', { offset: at, data }).next);
  }
}

/** A reply as it came: nothing here trusts the board. */
export interface Reply {
  readonly id: unknown;
  readonly result?: Readonly<Record<string, unknown>>;
  readonly error?: { readonly code: number; readonly message: string };
}

export class Talk {
  /** Whole replies, oldest first. */
  readonly replies: Reply[] = [];
  /** Lines whose CRC is wrong or missing: no well-made board sends one. */
  readonly damaged: ReceivedLine[] = [];
  /** Bytes received. */
  heard = 0;
  private id = 0;

  constructor(
    readonly chip: Chip,
    readonly door: Door,
  ) {
    const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
      if (line.kind === 'text' && line.checked) this.replies.push(JSON.parse(line.text));
      else this.damaged.push(line);
    });
    const listen = (bytes: Uint8Array): void => {
      this.heard += bytes.length;
      decode(bytes);
    };
    if (door === DOOR.usb) chip.onUsbData = listen;
    else chip.onUartData = listen;
    if (door === DOOR.usb) chip.openUsb(true);
  }

  say(bytes: Uint8Array | string): void {
    const raw = typeof bytes === 'string' ? encodeUtf8(bytes) : bytes;
    if (this.door === DOOR.usb) this.chip.writeUsb(raw);
    else this.chip.writeUart(raw);
  }

  /** A request's line and its id. */
  request(method: string, params: object = {}): { id: number; line: Uint8Array } {
    const id = ++this.id;
    return { id, line: encodeLine(JSON.stringify({ jsonrpc: '2.0', id, method, params })) };
  }

  /** Sends a request without waiting; its id. */
  ask(method: string, params: object = {}): number {
    const { id, line } = this.request(method, params);
    this.say(line);
    return id;
  }

  replyTo(id: number): Reply | undefined {
    return this.replies.find((reply) => reply.id === id);
  }

  /** The reply to `id`, running the board until it comes. Throws when it does not. */
  await(id: number, limitMs = ANSWER_MS): Reply {
    const came = this.chip.runUntil(() => this.replyTo(id) !== undefined, limitMs);
    const reply = this.replyTo(id);
    if (!came || reply === undefined) throw new Error(`no reply to request ${id}`);
    return reply;
  }

  /**
   * Calls a method as a program does: a request that is lost, because UART0 keeps 32 bytes only while
   * flash is written, is sent again behind a newline.
   */
  insist(method: string, params: object = {}): Readonly<Record<string, unknown>> {
    for (let tries = 1; tries < TRIES; tries++) {
      const id = this.ask(method, params);
      if (this.chip.runUntil(() => this.replyTo(id) !== undefined, LOST_MS)) {
        return this.replyTo(id)?.result ?? {};
      }
      this.say('\n');
    }
    return this.call(method, params);
  }

  /** Calls a method; its result, or an error with the board's own words. */
  call(method: string, params: object = {}): Readonly<Record<string, unknown>> {
    const { result, error } = this.await(this.ask(method, params));
    if (result === undefined) throw new Error(error?.message ?? 'no result');
    return result;
  }
}
