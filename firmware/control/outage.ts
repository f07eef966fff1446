/** How long a board was off before a start, as clocks tell it, and how far they are believed. Pure. */
import { WRONG_CLOCK_MS } from '../../shared/journal/clock';
import type { Profile } from '../../shared/profile/profile';
import { RECORD_LIMITS as LIMITS } from '../limits';
import type { StageWater } from './caps';
import { emergedBy } from './crop';
import { changesByTime, type StageState, stageOf } from './stages';

/** A time without power, as far as it is known. */
export interface PowerCut {
  /** NaN while no clock has told. */
  readonly forMs: number;
  /** Root zone at the last checkpoint before it, and at the first reading after it; NaN while unknown. */
  readonly beforeC: number;
  readonly afterC: number;
}

/** An outage that a clock tells, ms: one that is too long for a tray in service is a wrong date, and none. */
export function believedOutageMs(toldMs: number): number {
  return toldMs > LIMITS.outageMaxMs ? 0 : toldMs;
}

/** Whether an outage differs enough from what was told of it before, ms, to be another one: that clock was wrong. */
export function isAnotherOutage(toldMs: number, beforeMs: number): boolean {
  return Math.abs(toldMs - beforeMs) >= WRONG_CLOCK_MS;
}

/** Where a tray is in its profile, and since when its crop is up, ms; NaN before it. */
export interface Aging {
  readonly state: StageState;
  readonly sinceEmergedMs: number;
}

/** Where a tray stands `ms` later, if only time passes. */
export function aged({ state, sinceEmergedMs }: Aging, ms: number, profile: Profile): Aging {
  let now: Aging = {
    state: { ...state, runMs: state.runMs + ms },
    sinceEmergedMs: sinceEmergedMs + ms,
  };
  for (const change of changesByTime(now.state, profile, 'outage')) {
    const left = stageOf(profile, now.state.index);
    const { index } = change.state;
    now = { state: change.state, sinceEmergedMs: emergedBy(left, index, now.sinceEmergedMs) };
  }
  return now;
}

/**
 * What a stage that a later clock leads back to has had, by the ml given in the one that is left: they were given, for
 * whichever stage; and they were the water that one opens with, and its rescue.
 */
export function waterGoingBack(stageMl: number): StageWater {
  return { stageMl, rescued: stageMl > 0, opened: stageMl > 0 };
}
