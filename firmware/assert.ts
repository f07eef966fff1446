/**
 * What must hold, said where it would be broken: cheap enough for every tick on the chip. A restart
 * with outputs off is better than going on from a state that cannot be.
 */
import { INVARIANT_DETAIL, INVARIANTS, type Invariant } from '../shared/board/words';

/**
 * Thrown by `assert`. In a tick it ends the boot as `exception`: outputs off first, then a restart. In a
 * handler it ends the request; so there it is asserted before anything is changed. A mark alone has written down what it
 * says of the weights before it leads to a stage: that this is one of the profile is seen to by `control/stages.ts`.
 */
export class BrokenInvariant extends Error {
  /** What the journal keeps of it; the runtime reads this very property (`runtime/engine_abort.c`). */
  readonly detail: number;

  constructor(invariant: Invariant) {
    super(invariant);
    this.detail = INVARIANT_DETAIL + INVARIANTS.indexOf(invariant);
  }
}

/** Throws `BrokenInvariant` when what the word stands for does not hold. */
export function assert(holds: boolean, invariant: Invariant): asserts holds {
  if (!holds) throw new BrokenInvariant(invariant);
}

/** What the journal keeps of what was thrown: which invariant was broken, 0 for anything else. */
export function detailOf(thrown: unknown): number {
  return thrown instanceof BrokenInvariant ? thrown.detail : 0;
}
