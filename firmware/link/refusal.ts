/** How a handler says no. The sentence for it is the host's; see `shared/link/refusals.ts`. */
import type { RefusalFacts, RefusalReason } from '../../shared/link/refusals';

/** Thrown by a handler that understood and will not. */
export class Refusal extends Error {
  constructor(
    readonly reason: RefusalReason,
    readonly facts: RefusalFacts[RefusalReason],
  ) {
    super(reason);
  }
}

/** Ends the call with this reason and its facts; nothing has changed. */
export function refuse<R extends RefusalReason>(reason: R, ...facts: RefusalFacts[R]): never {
  throw new Refusal(reason, facts);
}
