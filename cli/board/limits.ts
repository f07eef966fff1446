/** How long, and how often, a board is looked for. */
import { MINUTE_MS } from '../../shared/units/time';

/** A board with a new image: the ROM writes its last block, starts it, and the system finds the port anew. */
export const BACK_MS = MINUTE_MS;
/** A person who looks on sees no delay in this, and no port is asked without a pause. */
export const POLL_MS = 1000;
