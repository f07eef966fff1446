/** Requests as lines. */
import { randomInt } from 'node:crypto';
import { encodeLine } from '../../shared/link/framing';
import type { MethodName } from '../../shared/link/methods';
import { takesToken } from '../../shared/link/params';
import type { CallParams } from './client';

/** Largest token: 32 bits, 0 is none. */
const TOKEN_END = 2 ** 32;
/** Ids of a session start anywhere below this, so that a reply to an earlier session fits none. */
const FIRST_ID_MAX = 1_000_000_000;

export type NextId = () => number;

/** Ids that count up from a random start. */
export function createIds(): NextId {
  let id = randomInt(FIRST_ID_MAX);
  return () => ++id;
}

/** The line of a call, with a new token where the method takes one. Send the same line to repeat it. */
export function encodeRequest<M extends MethodName>(
  id: number,
  method: M,
  params: CallParams<M>,
): Uint8Array {
  const all = takesToken(method) ? { token: randomInt(1, TOKEN_END), ...params } : params;
  return encodeLine(JSON.stringify({ jsonrpc: '2.0', id, method, params: all }));
}
