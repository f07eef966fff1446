/** The stage part of a tick, and what marks and the grower's word do to the stage. Owner of the progress. */
import { NO_STAGE } from '../../shared/journal/kinds';
import type { Mark } from '../../shared/profile/profile';
import { assert } from '../assert';
import { emergedBy, markedCrop } from '../control/crop';
import {
  changeByGrower,
  changeByMark,
  changeByTime,
  leftMs,
  type StageChange,
  type StageState,
  stageOf,
} from '../control/stages';
import type { Progress, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import type { Watering } from './watering';

/** Where one tray is in its profile. */
export class Staging {
  readonly #progress: Progress;

  constructor(
    readonly tray: Tray,
    progress: Progress,
    readonly watering: Watering,
  ) {
    this.#progress = progress;
  }

  get progress(): View<Progress> {
    return this.#progress;
  }

  get state(): StageState {
    const { stage: index, stageRunMs: runMs, staying } = this.#progress;
    return { index, runMs, staying };
  }

  /** Run time until the stage ends, ms; null when time does not end it, or none runs. */
  get leftMs(): number | null {
    const { stage } = this.tray;
    return stage === null ? null : leftMs(this.state, stage);
  }

  /** Time passes in the running stage. `reason` is `outage` when the board was off meanwhile. */
  pass(dtMs: number, reason: 'run-time' | 'outage'): void {
    const { tray } = this;
    const progress = this.#progress;
    const { stage, profile } = tray;
    if (stage === null || profile === null) return;
    progress.stageRunMs += dtMs;
    progress.sinceEmergedMs += dtMs;
    progress.transplantHoldMs = Math.max(0, progress.transplantHoldMs - dtMs);
    const { afterS } = stage.end;
    if (progress.staying || afterS === 0 || progress.stageRunMs < afterS * 1000) return;
    // An outage may have outlasted more than one stage.
    for (let i = 0; i < profile.stages.length; i++) {
      const change = changeByTime(this.state, profile, reason);
      if (change === null) return;
      this.enter(change);
    }
  }

  /** Puts a change into effect and writes it down. */
  enter(change: StageChange): void {
    const { tray } = this;
    const progress = this.#progress;
    const isThere = stageOf(tray.profile, change.state.index) !== null;
    assert(isThere, 'stage-of-profile');
    const { sinceEmergedMs } = progress;
    progress.sinceEmergedMs = emergedBy(tray.stage, change.state.index, sinceEmergedMs);
    tray.write({
      kind: 'stage',
      from: progress.stage,
      to: change.state.index,
      reason: change.reason,
      ranS: Math.round(progress.stageRunMs / 1000),
      waterMl: tray.run.account.stageMl,
    });
    progress.stage = change.state.index;
    progress.stageRunMs = change.state.runMs;
    progress.staying = change.state.staying;
    this.watering.stageBegins();
    tray.touch();
  }

  /** The part of a mark that concerns stages, and the crop in them. */
  mark(mark: Mark): void {
    const progress = this.#progress;
    const { profile } = this.tray;
    if (profile === null) return;
    const change = changeByMark(this.state, profile, mark);
    if (change !== null) this.enter(change);
    Object.assign(progress, markedCrop(progress, mark, change, profile));
    if (mark === 'sown') this.watering.feed.cropBegins();
    this.tray.touch();
  }

  /** Some were moved on: `pieces` are left here. */
  moved(pieces: number): void {
    this.#progress.pieces = pieces;
    this.tray.touch();
  }

  /** Goes on to the next stage by the grower's word. False when there is none. */
  next(): boolean {
    const { profile } = this.tray;
    const change = profile === null ? null : changeByGrower(this.state, profile);
    if (change !== null) this.enter(change);
    return change !== null;
  }

  /** Keeps run time from ending the stage, or lets it again. */
  stay(stay: boolean): void {
    this.#progress.staying = stay;
    this.tray.touch();
  }

  /** The progress as it stands, to go back to with `restore`: a profile switch that did not take. */
  saved(): View<Progress> {
    return { ...this.#progress };
  }

  restore(saved: View<Progress>): void {
    Object.assign(this.#progress, saved);
  }
}

/** Index of a stage as the link tells it: null before sowing. */
export function reportedStage(index: number): number | null {
  return index === NO_STAGE ? null : index;
}
