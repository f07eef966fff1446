/** The stage part of a tick, and what marks and the grower's word do to the stage. Owner of the progress. */
import { NO_STAGE } from '../../shared/journal/kinds';
import type { Mark } from '../../shared/profile/profile';
import { assert } from '../assert';
import { emergedBy, markedCrop } from '../control/crop';
import { type Aging, aged, isAnotherOutage, waterGoingBack } from '../control/outage';
import {
  changeByGrower,
  changeByMark,
  changesByTime,
  leftMs,
  type StageChange,
  type StageState,
  stageOf,
} from '../control/stages';
import type { Progress, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import type { Watering } from './watering';

/** What is known of the time before this start. */
type BeforeStart =
  | { readonly is: 'untold' }
  /** A clock told of `outageMs`, at `uptimeMs`, when the tray stood so: another clock may tell otherwise. */
  | {
      readonly is: 'told';
      readonly outageMs: number;
      readonly uptimeMs: number;
      readonly stood: Aging;
      readonly transplantHoldMs: number;
    }
  /** The grower has said since how the tray stands: no clock corrects that. */
  | { readonly is: 'spoken-over' };

/** Marks that say how old the crop is, whether a stage ends by them or not. */
const SAYS_HOW_IT_STANDS: ReadonlySet<Mark> = new Set<Mark>(['sown', 'emerged', 'transplanted']);

/** Where one tray is in its profile. */
export class Staging {
  readonly #progress: Progress;
  #outage: BeforeStart = { is: 'untold' };

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
    for (const change of changesByTime(this.state, profile, reason)) this.enter(change);
  }

  /**
   * By the clock the board was off for `ms` before this start: the plants are that much older. The last clock of a
   * boot holds, and what an earlier one told is corrected. Returns whether anything changed.
   */
  outage(ms: number): boolean {
    const { profile, uptimeMs } = this.tray;
    const told = this.#outage;
    if (told.is === 'spoken-over' || profile === null) return false;
    if (told.is === 'untold') {
      const { sinceEmergedMs, transplantHoldMs } = this.#progress;
      const stood = { state: this.state, sinceEmergedMs };
      this.#outage = { is: 'told', outageMs: ms, uptimeMs, stood, transplantHoldMs };
      this.pass(ms, 'outage');
      return ms > 0;
    }
    if (!isAnotherOutage(ms, told.outageMs)) return false;
    this.#outage = { ...told, outageMs: ms };
    const moreMs = ms - told.outageMs;
    if (moreMs > 0) {
      this.pass(moreMs, 'outage');
      return true;
    }
    const ranMs = uptimeMs - told.uptimeMs + ms;
    const { stood } = told;
    const state = { ...stood.state, staying: this.#progress.staying };
    this.#goBack(aged({ ...stood, state }, ranMs, profile));
    this.#progress.transplantHoldMs = Math.max(0, told.transplantHoldMs - ranMs);
    return true;
  }

  /** To where the tray would be by now; of the stage it is in only the time is put right. */
  #goBack({ state, sinceEmergedMs }: Aging): void {
    const progress = this.#progress;
    if (state.index !== progress.stage) {
      const { stageMl } = this.watering.saved();
      this.enter({ state, reason: 'clock' });
      this.watering.restore(waterGoingBack(stageMl));
    }
    progress.stageRunMs = state.runMs;
    progress.sinceEmergedMs = sinceEmergedMs;
    this.tray.touch();
  }

  /** The grower has said how the tray stands. */
  spoken(): void {
    this.#outage = { is: 'spoken-over' };
    this.tray.clock.forgetOutage();
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
    const { profile } = this.tray;
    if (profile === null) return;
    const change = changeByMark(this.state, profile, mark);
    if (change !== null) this.enter(change);
    if (change !== null || SAYS_HOW_IT_STANDS.has(mark)) this.spoken();
    Object.assign(this.#progress, markedCrop(this.#progress, mark, change, profile));
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
    if (change === null) return false;
    this.spoken();
    this.enter(change);
    return true;
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
