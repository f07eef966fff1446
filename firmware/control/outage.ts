/** How long a board was off before a start, as clocks tell it, and how far they are believed. Pure. */
import { RECORD_LIMITS as LIMITS } from '../limits';

/** An outage that a clock tells, ms: one that is too long for a tray in service is a wrong date, and none. */
export function believedOutageMs(toldMs: number): number {
  return toldMs > LIMITS.outageMaxMs ? 0 : toldMs;
}

/** Whether an outage differs enough from what was told of it before, ms, to be another one: clocks drift. */
export function isAnotherOutage(toldMs: number, beforeMs: number): boolean {
  return Math.abs(toldMs - beforeMs) >= LIMITS.outageAgainMs;
}
