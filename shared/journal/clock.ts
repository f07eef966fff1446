/** A clock that another one of the same boot moves by so much was wrong, ms: in a season they drift by minutes. */
import { MINUTE_MS } from '../units/time';
export const WRONG_CLOCK_MS = 10 * MINUTE_MS;
