/** Results as they come off the line. */
import type { MethodName, Result } from '../../shared/link/methods';
import { LinkError } from './client';

/** A result is an object; its fields are the board's word, under a CRC and the same link version. */
function isResult<M extends MethodName>(_: M, result: unknown): result is Result<M> {
  return typeof result === 'object' && result !== null && !Array.isArray(result);
}

/** The result of a call. Throws `LinkError` `protocol` when it is none. */
export function readResult<M extends MethodName>(method: M, result: unknown): Result<M> {
  if (isResult(method, result)) return result;
  throw new LinkError('protocol', `The controller's answer to ${method} is no answer of ours.`);
}
