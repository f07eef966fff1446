/** Lines off the wire as replies of ours, and in words when they are none. */
import type { ReceivedLine } from '../../shared/link/framing';
import { RPC_ERROR } from '../../shared/link/methods';

export interface RpcError {
  readonly code: number;
  readonly message: string;
  readonly data: unknown;
}

export type Reply = { readonly result: unknown } | { readonly error: RpcError };

/** Longest stretch of a stranger's words that we repeat. */
const STRANGE_CHARS_MAX = 40;

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function readError(value: unknown): RpcError | null {
  if (!isRecord(value)) return null;
  const { code, message, data } = value;
  return typeof code === 'number' && typeof message === 'string' ? { code, message, data } : null;
}

/** A reply; without `id` where the board could not tell whose. */
export interface Message {
  readonly id: number | null;
  readonly reply: Reply;
}

/** A line as a reply of ours, or null when it is none: no CRC, no JSON-RPC, or an echo of a request. */
export function readMessage(line: ReceivedLine): Message | null {
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
export const meansDamage = (reply: Reply): boolean =>
  'error' in reply &&
  [RPC_ERROR.damagedLine, RPC_ERROR.parse, RPC_ERROR.invalidRequest, RPC_ERROR.invalidParams].some(
    (code) => code === reply.error.code,
  );

/** What came instead, for people. */
export function describeLine(line: ReceivedLine): string {
  if (line.kind === 'damaged') return 'bytes that are no text';
  const shown = line.text.slice(0, STRANGE_CHARS_MAX).replace(/[^\x20-\x7e]/g, '.');
  return `"${shown}${line.text.length > STRANGE_CHARS_MAX ? '...' : ''}"`;
}
