/** Whether the tray is weighed, and for how long nobody could. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';

export type Weighing =
  | { readonly is: 'weighed' }
  /** Its scale fell silent at `sinceMs` of uptime. */
  | { readonly is: 'silent'; readonly sinceMs: number }
  /** Not yet since this start: its scale had been silent for `silentMs` as that came; 0 where it had weighed until then. */
  | { readonly is: 'not-since-start'; readonly silentMs: number }
  /** Not yet since the power came back: nobody knows for how long. */
  | { readonly is: 'not-since-cut' };

export const WEIGHED: Weighing = { is: 'weighed' };
export const NOT_SINCE_CUT: Weighing = { is: 'not-since-cut' };

/**
 * For how long nobody had weighed the tray by `uptimeMs`, ms. A scale that could not say from a start of the board on had failed
 * before it, for all that is known: nobody knows when.
 */
export function unweighedFor(weighing: Weighing, uptimeMs: number): number {
  switch (weighing.is) {
    case 'weighed':
      return 0;
    case 'silent':
      return uptimeMs - weighing.sinceMs;
    case 'not-since-start':
      return uptimeMs > LIMITS.firstWeightMs
        ? Number.POSITIVE_INFINITY
        : uptimeMs + weighing.silentMs;
    case 'not-since-cut':
      return Number.POSITIVE_INFINITY;
  }
}
