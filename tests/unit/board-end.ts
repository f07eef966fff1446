import { expect } from 'vitest';
import { refuse } from '../../firmware/link/refusal';
import { createLinkServer, type Handlers } from '../../firmware/link/server';
import { DOOR, type Door } from '../../shared/board/map';
import { createLineDecoder, encodeLine } from '../../shared/link/framing';
import { LINK_LIMITS } from '../../shared/link/methods';
import { METHOD_FIELDS } from '../../shared/link/params';

export interface Reply {
  readonly jsonrpc: string;
  readonly id: unknown;
  readonly result?: unknown;
  readonly error?: {
    readonly code: number;
    readonly message: string;
    readonly data: readonly unknown[];
  };
}

/** A board's end of the link with a stage, a pump and a journal page to ask for, and nothing else. */
export class BoardEnd {
  readonly done: string[] = [];
  readonly faults: string[] = [];
  readonly replies: { door: Door; reply: Reply }[] = [];
  readonly #inbox = new Map<Door, (bytes: Uint8Array) => void>();
  readonly #server = createLinkServer({
    handlers: this.#handlers(),
    send: (door, bytes) => this.#inbox.get(door)?.(bytes),
    onFault: (where) => this.faults.push(where),
  });

  constructor() {
    for (const door of Object.values(DOOR)) {
      const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
        if (line.kind !== 'text' || !line.checked) throw new Error('a reply without its CRC');
        this.replies.push({ door, reply: JSON.parse(line.text) });
      });
      this.#inbox.set(door, decode);
    }
  }

  receive(bytes: Uint8Array, door: Door = DOOR.usb): void {
    this.#server.receive(door, bytes);
  }

  /** The replies to one line. */
  answers(line: Uint8Array, door: Door = DOOR.usb): Reply[] {
    const before = this.replies.length;
    this.receive(line, door);
    return this.replies.slice(before).map(({ reply }) => reply);
  }

  /** The only reply to a call with its CRC. */
  call(method: string, params: object, id: unknown = 1): Reply {
    return this.only(encodeLine(JSON.stringify({ jsonrpc: '2.0', id, method, params })));
  }

  only(line: Uint8Array): Reply {
    const [reply, ...more] = this.answers(line);
    if (reply === undefined || more.length > 0) throw new Error(`${more.length + 1} replies`);
    expect(reply.jsonrpc).toBe('2.0');
    return reply;
  }

  #handlers(): Handlers {
    const none = (): never => refuse('weight-implausible', 3);
    // Sound: every method is there.
    const refusing: Handlers = Object.fromEntries(
      Object.keys(METHOD_FIELDS).map((method) => [method as string | typeof none, none]),
    );
    return {
      ...refusing,
      'scale.measure': () => refuse('pump-busy'),
      'probe.read': () => {
        throw new TypeError('a mistake in the firmware');
      },
      'pump.run': ({ ms, reason }) => {
        this.done.push(`${reason} ${ms} ms`);
        return { uptimeMs: 1_000 * this.done.length };
      },
      'mark.set': ({ mark }) => {
        this.done.push(`mark ${mark}`);
        return { trayG: null, dryG: null, stage: null, note: null };
      },
      'stage.next': () => {
        this.done.push('next stage');
        return { stage: this.done.length };
      },
      'alarm.list': () => ({ alarms: [] }),
      'journal.info': () => ({ first: 1, next: 9, boot: 2, uptimeMs: 77 }),
      'journal.page': ({ from }) => ({
        from,
        count: 0,
        data: 'A'.repeat(LINK_LIMITS.lineToHostBytes),
        first: 1,
        next: 1,
      }),
    };
  }
}

export const INFO = { first: 1, next: 9, boot: 2, uptimeMs: 77 };
export const request = (method: string, params: object, id: unknown = 1): string =>
  JSON.stringify({ jsonrpc: '2.0', id, method, params });
