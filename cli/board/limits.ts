/** How long, and how often, a board is looked for. */

/** A board with a new image: the ROM writes its last block, starts it, and the system finds the port anew. */
export const BACK_MS = 60_000;
/** A person who looks on sees no delay in this, and no port is asked without a pause. */
export const POLL_MS = 1000;
