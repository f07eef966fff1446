/**
 * What must hold, said where it would be broken: cheap enough for every tick on the chip. A restart
 * with outputs off is better than going on from a state that cannot be.
 */

/**
 * Thrown by `assert`. In a tick it ends the boot as `exception`: outputs off first, then a restart. In a
 * handler it ends the request; so there it is asserted before anything is changed.
 */
export class BrokenInvariant extends Error {}

/** Throws `BrokenInvariant` with `what`, which says what must hold, when it does not. */
export function assert(holds: boolean, what: string): asserts holds {
  if (!holds) throw new BrokenInvariant(what);
}
