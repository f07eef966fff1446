/** The stage part of a tick, and what marks and the grower's word do to the stage. */

import { NO_STAGE } from '../../shared/journal/kinds';
import type { Mark } from '../../shared/profile/profile';
import { changeByMark, changeByTime, type StageChange, type StageState } from '../control/stages';
import { WATER_LIMITS } from '../limits';
import type { Tray } from '../tray/tray';

/** The stage part of the run state, as `control/stages.ts` takes it. */
export function stageState(tray: Tray): StageState {
  const { stage: index, stageRunMs: runMs, staying } = tray.run;
  return { index, runMs, staying };
}

/** Time passes in the running stage. `reason` is `outage` when the board was off meanwhile. */
export function passStageTime(tray: Tray, dtMs: number, reason: 'run-time' | 'outage'): void {
  const { run, stage, profile } = tray;
  if (stage === null || profile === null) return;
  run.stageRunMs += dtMs;
  if (run.transplantHoldMs > 0) run.transplantHoldMs = Math.max(0, run.transplantHoldMs - dtMs);
  if (run.staying || stage.end.afterS === 0 || run.stageRunMs < stage.end.afterS * 1000) return;
  // An outage may have outlasted more than one stage.
  for (let i = 0; i < profile.stages.length; i++) {
    const change = changeByTime(stageState(tray), profile, reason);
    if (change === null) return;
    enterStage(tray, change);
  }
}

/** Puts a change into effect and writes it down. */
export function enterStage(tray: Tray, change: StageChange): void {
  const { run } = tray;
  tray.write({
    kind: 'stage',
    from: run.stage,
    to: change.state.index,
    reason: change.reason,
    ranS: Math.round(run.stageRunMs / 1000),
    waterMl: run.stageMl,
  });
  run.stage = change.state.index;
  run.stageRunMs = change.state.runMs;
  run.staying = change.state.staying;
  run.stageMl = 0;
  run.rescued = false;
  tray.cycling = false;
  tray.stale = true;
}

/**
 * The part of a mark that concerns stages. Returns whether the stage changed. A transplant that the
 * profile does not speak of, or does not follow with a hold, gets the hold all the same.
 */
export function markStage(tray: Tray, mark: Mark): boolean {
  const { profile, run } = tray;
  if (profile === null) return false;
  const change = changeByMark(stageState(tray), profile, mark);
  if (change !== null) enterStage(tray, change);
  if (mark === 'sown') run.transplantHoldMs = 0;
  // The profile speaks of the transplant when the stage it leads to is a hold of its own length.
  const held = change !== null && profile.stages[run.stage]?.kind === 'hold';
  if (mark === 'transplanted' && !held) run.transplantHoldMs = WATER_LIMITS.transplantHoldMs;
  return change !== null;
}

/** Index of a stage as the link tells it: null before sowing. */
export function reportedStage(index: number): number | null {
  return index === NO_STAGE ? null : index;
}
