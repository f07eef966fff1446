/** What the board says no with, as an error with the sentence for it. */
import { refusalSentence } from '../../shared/link/host/refusals';
import { RPC_ERROR } from '../../shared/link/methods';
import type { UnitSystem } from '../../shared/units';
import { LinkError } from './client';
import type { RpcError } from './message';

/** `refused` or `busy` where the board says no, `protocol` where it understands something else. */
export function refusalOf({ code, message, data }: RpcError): LinkError {
  const kind =
    code === RPC_ERROR.refused ? 'refused' : code === RPC_ERROR.busy ? 'busy' : 'protocol';
  const facts: readonly unknown[] = Array.isArray(data) ? data : [];
  const sentence = (units: UnitSystem): string => refusalSentence(message, facts, units);
  return new LinkError(kind, sentence('metric'), message, sentence);
}
