/**
 * Requests and replies over one open transport, each tried once. The board answers in the order it
 * is asked, so a damaged line, or a reply to a later request, tells at once that the reply to the
 * oldest one is lost; without a sign, waiting tells. Whoever asks decides whether to ask again.
 */
import { encodeUtf8 } from '../../shared/bytes';
import { createLineDecoder, type ReceivedLine } from '../../shared/link/framing';
import { LINK_LIMITS, RPC_ERROR } from '../../shared/link/methods';
import type { Transport } from './transport';

/** No reply to one attempt. `silent`: nothing came. `damaged`: it was lost on the line. `closed`: so is the port. */
export class Missed extends Error {
  constructor(readonly how: 'silent' | 'damaged' | 'closed') {
    super(`no reply: ${how}`);
    this.name = 'Missed';
  }
}

export interface RpcError {
  readonly code: number;
  readonly message: string;
  readonly data: unknown;
}

export type Reply = { readonly result: unknown } | { readonly error: RpcError };

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

/** Longest stretch of a stranger's words that we repeat. */
const STRANGE_CHARS_MAX = 40;

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function readError(value: unknown): RpcError | null {
  if (!isRecord(value)) return null;
  const { code, message, data } = value;
  return typeof code === 'number' && typeof message === 'string' ? { code, message, data } : null;
}

interface Message {
  readonly id: number | null;
  readonly reply: Reply;
}

/** A line as a reply of ours, or null when it is none: no CRC, no JSON-RPC, or an echo of a request. */
function readMessage(line: ReceivedLine): Message | null {
  if (line.kind !== 'text' || !line.checked) return null;
  let message: unknown;
  try {
    message = JSON.parse(line.text);
  } catch {
    return null;
  }
  if (!isRecord(message) || message.jsonrpc !== '2.0') return null;
  const { id } = message;
  if (id !== null && typeof id !== 'number') return null;
  if ('result' in message) return { id, reply: { result: message.result } };
  const error = readError(message.error);
  return error === null ? null : { id, reply: { error } };
}

/** Whether an error without id says that a request came to the board as rubbish. */
const meansDamage = (reply: Reply): boolean =>
  'error' in reply &&
  [RPC_ERROR.damagedLine, RPC_ERROR.parse, RPC_ERROR.invalidRequest, RPC_ERROR.invalidParams].some(
    (code) => code === reply.error.code,
  );

function describe(line: ReceivedLine): string {
  if (line.kind === 'damaged') return 'bytes that are no text';
  const shown = line.text.slice(0, STRANGE_CHARS_MAX).replace(/[^\x20-\x7e]/g, '.');
  return `"${shown}${line.text.length > STRANGE_CHARS_MAX ? '...' : ''}"`;
}

/** Takes over an open transport. `replyMs`: see `LinkTiming`. */
export function createExchange(transport: Transport, replyMs: number): Exchange {
  /** In the order sent, which is the order of the replies. */
  const waiting = new Map<number, Waiting>();
  let heardMs = 0;
  let isOpen = true;
  /** Before the first reply, rubbish may be left over from somebody else's session. */
  let acquainted = false;
  let strange: string | null = null;
  let timer: NodeJS.Timeout | undefined;

  function miss(id: number, how: Missed['how']): void {
    const entry = waiting.get(id);
    waiting.delete(id);
    entry?.reject(new Missed(how));
  }

  function oldest(): [number, Waiting] | undefined {
    return waiting.entries().next().value;
  }

  function watch(): void {
    clearTimeout(timer);
    const [id, entry] = oldest() ?? [];
    if (id === undefined || entry === undefined) return;
    const deadlineMs = Math.max(entry.sinceMs, heardMs) + replyMs;
    timer = setTimeout(() => {
      miss(id, 'silent');
      watch();
    }, deadlineMs - performance.now());
  }

  function missOldest(): void {
    const [id] = oldest() ?? [];
    if (acquainted && id !== undefined) miss(id, 'damaged');
  }

  function settle(id: number, reply: Reply): void {
    const entry = waiting.get(id);
    // A late reply to a request that was given up, or somebody else's.
    if (entry === undefined) return;
    acquainted = true;
    for (const [older] of waiting) {
      if (older === id) break;
      miss(older, 'damaged');
    }
    waiting.delete(id);
    entry.resolve(reply);
  }

  function receive(line: ReceivedLine): void {
    const message = readMessage(line);
    if (message === null) {
      strange ??= describe(line);
      missOldest();
    } else {
      heardMs = performance.now();
      if (message.id !== null) settle(message.id, message.reply);
      else if (meansDamage(message.reply)) missOldest();
    }
    watch();
  }

  transport.listen({
    bytes: createLineDecoder(LINK_LIMITS.lineToHostBytes, receive),
    closed() {
      isOpen = false;
      clearTimeout(timer);
      for (const [id] of waiting) miss(id, 'closed');
    },
  });
  // Ends whatever half line the board still holds from an earlier session.
  transport.write(encodeUtf8('\n'));

  return {
    ask(id, line) {
      if (!isOpen) return Promise.reject(new Missed('closed'));
      return new Promise((resolve, reject) => {
        waiting.set(id, { sinceMs: performance.now(), resolve, reject });
        transport.write(line);
        if (waiting.size === 1) watch();
      });
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
