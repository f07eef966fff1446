/** Where the tray is in its profile: stages end by run time, by a mark, or by the first of the two. Pure. */
import { NO_STAGE, type StageReason } from '../../shared/journal/kinds';
import type { Mark, Profile, Stage } from '../../shared/profile/profile';

export interface StageState {
  /** Index into `Profile.stages`, `NO_STAGE` before sowing. */
  readonly index: number;
  /** Run time of this stage, ms: uptime plus known outages. */
  readonly runMs: number;
  /** The grower asked to stay: run time does not end the stage, marks and `next` do. */
  readonly staying: boolean;
}

export interface StageChange {
  readonly state: StageState;
  readonly reason: StageReason;
}

/** Before the first stage. */
export const NOT_SOWN: StageState = { index: NO_STAGE, runMs: 0, staying: false };

/** The running stage, or null before sowing. */
export function stageOf(profile: Profile | null, index: number): Stage | null {
  return profile?.stages[index] ?? null;
}

/** Milliseconds until run time ends the stage; null when it does not. */
export function leftMs(state: StageState, stage: Stage): number | null {
  if (state.staying || stage.end.afterS === 0) return null;
  return Math.max(0, stage.end.afterS * 1000 - state.runMs);
}

/** The change that run time brings, or null. The last stage never ends by time. */
export function changeByTime(
  state: StageState,
  profile: Profile,
  reason: StageReason,
): StageChange | null {
  const stage = stageOf(profile, state.index);
  if (stage === null || state.index >= profile.stages.length - 1) return null;
  const left = leftMs(state, stage);
  if (left === null || left > 0) return null;
  // What ran over belongs to the next stage: after an outage the plants are that much older.
  const overMs = state.runMs - stage.end.afterS * 1000;
  return { state: { index: state.index + 1, runMs: overMs, staying: false }, reason };
}

/** No stage has ended. */
const NO_CHANGES: readonly StageChange[] = [];

/** The changes that run time brings, one after the other: an outage may have outlasted more than one stage. */
export function changesByTime(
  state: StageState,
  profile: Profile,
  reason: StageReason,
): readonly StageChange[] {
  let change = changeByTime(state, profile, reason);
  if (change === null) return NO_CHANGES;
  const changes: StageChange[] = [];
  // Each leads one stage on, and none out of the last.
  for (; change !== null; change = changeByTime(change.state, profile, reason))
    changes.push(change);
  return changes;
}

/**
 * The change a mark brings, or null. `sown` starts the profile. Any other mark leads to the stage
 * after the nearest one, from the running stage on, that ends by it: a tray transplanted early skips
 * what lies between.
 */
export function changeByMark(state: StageState, profile: Profile, mark: Mark): StageChange | null {
  if (mark === 'sown') return { state: { index: 0, runMs: 0, staying: false }, reason: 'mark' };
  if (state.index === NO_STAGE) return null;
  for (let i = state.index; i < profile.stages.length - 1; i++) {
    if (profile.stages[i]?.end.mark === mark) {
      return { state: { index: i + 1, runMs: 0, staying: false }, reason: 'mark' };
    }
  }
  return null;
}

/** The next stage by the grower's word, or null when there is none. */
export function changeByGrower(state: StageState, profile: Profile): StageChange | null {
  if (state.index >= profile.stages.length - 1) return null;
  return { state: { index: state.index + 1, runMs: 0, staying: false }, reason: 'grower' };
}
