/** How long a board was off before a start, as clocks tell it, and how far they are believed. Pure. */
import { WRONG_CLOCK_MS } from '../../shared/journal/clock';
import type { Profile } from '../../shared/profile/profile';
import { RECORD_LIMITS as LIMITS } from '../limits';
import { changeByTime, type StageState } from './stages';

/** An outage that a clock tells, ms: one that is too long for a tray in service is a wrong date, and none. */
export function believedOutageMs(toldMs: number): number {
  return toldMs > LIMITS.outageMaxMs ? 0 : toldMs;
}

/** Whether an outage differs enough from what was told of it before, ms, to be another one: that clock was wrong. */
export function isAnotherOutage(toldMs: number, beforeMs: number): boolean {
  return Math.abs(toldMs - beforeMs) >= WRONG_CLOCK_MS;
}

/** Where a tray that stood at `state` stands `ms` later, if only time passes. */
export function aged(state: StageState, ms: number, profile: Profile): StageState {
  let now: StageState = { ...state, runMs: state.runMs + ms };
  for (let i = 0; i < profile.stages.length; i++) {
    const change = changeByTime(now, profile, 'outage');
    if (change === null) break;
    now = change.state;
  }
  return now;
}
