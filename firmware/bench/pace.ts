/**
 * How far apart ticks come on a bench that leaves out those in which nothing can change: no hands, no pump, no start of
 * the board, no fault that begins, ends or moves anything.
 */
import { MINUTE_MS } from '../../shared/units/time';
import type { Rig } from './rig';

/** What the next calm tick goes by: the clock alone, or what stands on the scale as well. */
export type CalmBy =
  | { readonly by: 'clock' }
  /**
   * They come sooner where what stands on the scale changes by more than so much from one to the next, g: the firmware's
   * window of weights is one of ticks, and spreads no further then. A fault that only moves water is none that needs each
   * tick then, calm comes in two steps, and no power is calm as well.
   */
  | { readonly by: 'load'; readonly mostG: number };

export interface PaceOptions {
  /**
   * Ticks come so far apart while nothing happens. For seasons by the hundred, whose results are days, degrees and litres;
   * one second unless given, as on the chip. Whole seconds, `CALMEST_TICK_MS` at most, by load `STILLEST_TICK_MS`.
   */
  readonly calmTickMs?: number;
  /** So long after hands, pump, starts and changes of a fault; `CALM_AFTER_MS` unless given. */
  readonly calmAfterMs?: number;
  /** By the clock unless given. */
  readonly calmBy?: CalmBy;
}

export const TICK_MS = 1000;
/** Where a scale may tremble: its filters need their readings. */
export const CALM_TICK_MS = 10_000;
/** Where it stands well: twenty such seasons had the first feed and the doses of those with every tick, but for two doses. */
export const CALMEST_TICK_MS = 20_000;
/** Where the load says when one is due sooner. What the firmware does once a minute it still does. */
export const STILLEST_TICK_MS = MINUTE_MS;
/** Where the scale stands well, calm begins so soon: one of 24 such seasons had one dose fewer. */
export const CALM_SOON_MS = 10 * MINUTE_MS;
/** Calm is what comes so long after hands, the pump or the start of the board: weight and probes stand still by then. */
const CALM_AFTER_MS = 20 * MINUTE_MS;
/** With the load to go by: no longer apart than this until calm comes, and each second so long after hands and pump, */
const SETTLING_TICK_MS = 5_000;
const WEIGHED_AGAIN_MS = 30_000;
/** and after a start or a change of a fault: a probe that was bad has to read well for 60 ticks. */
const SOUND_AGAIN_MS = 75_000;
/** Full minutes are met by each. */
const GAPS_MS = [MINUTE_MS, 30_000, 20_000, 10_000, 5_000, 2_000] as const;
/** The plant's shortest time constant, the probe's, bears no longer steps. */
const PLANT_STEP_MS = 10_000;
/** Nor the mat's, half a time constant: a probe is as warm as its place by then. */
const CALM_PLANT_STEP_MS = 30_000;

export class Pace {
  /** Longest step of the plant, ms. */
  readonly plantStepMs: number;
  private readonly calmTickMs: number;
  private readonly calmAfterMs: number;
  private readonly calmBy: CalmBy;
  private startedMs = 0;
  private pumpedMs = Number.NEGATIVE_INFINITY;
  /** What stood on the scale at the last tick, g, and when that was. */
  private loadG = Number.NaN;
  private loadAtMs = Number.NaN;

  /** Throws a RangeError for ticks that the options do not allow. */
  constructor(
    private readonly rig: Rig,
    { calmTickMs = TICK_MS, calmAfterMs = CALM_AFTER_MS, calmBy }: PaceOptions,
  ) {
    this.calmBy = calmBy ?? { by: 'clock' };
    const goesByLoad = this.calmBy.by === 'load';
    const mostMs = goesByLoad ? STILLEST_TICK_MS : CALMEST_TICK_MS;
    const isWhole = calmTickMs % TICK_MS === 0;
    if (!(calmTickMs >= TICK_MS && calmTickMs <= mostMs && isWhole)) {
      const most = mostMs / TICK_MS;
      throw new RangeError(`Calm ticks ${calmTickMs} ms apart: whole seconds, 1 to ${most}.`);
    }
    this.calmTickMs = calmTickMs;
    this.calmAfterMs = calmAfterMs;
    this.plantStepMs = goesByLoad ? CALM_PLANT_STEP_MS : PLANT_STEP_MS;
  }

  /** Ticks of a board without power, which does nothing in them, are left out as well. */
  get leavesOutDark(): boolean {
    return this.calmBy.by === 'load';
  }

  /** The board starts. */
  started(): void {
    this.startedMs = this.rig.plant.nowMs;
  }

  /** The pump runs. */
  pumped(): void {
    this.pumpedMs = this.rig.plant.nowMs;
  }

  /** A tick may be left out now. */
  get isCalm(): boolean {
    const { calmAfterMs, rig, movedMs, changedMs } = this;
    const { nowMs } = rig.plant;
    if (this.calmBy.by === 'clock')
      return nowMs >= Math.max(movedMs, changedMs) + calmAfterMs && rig.faults.standStill;
    const soonMs = Math.max(movedMs + WEIGHED_AGAIN_MS, changedMs + SOUND_AGAIN_MS);
    return nowMs >= soonMs && rig.faults.onlyWaterMoves;
  }

  /** From a tick, `clockMs` by the board's clock, to the next, ms. */
  gapMs(clockMs: number): number {
    const mostMs = this.weighGapMs();
    return mostMs > TICK_MS && this.isCalm ? mostMs - (clockMs % mostMs) : TICK_MS;
  }

  private weighGapMs(): number {
    const { calmBy, calmTickMs, calmAfterMs } = this;
    if (calmBy.by === 'clock') return calmTickMs;
    const { plant, faults } = this.rig;
    const { nowMs } = plant;
    const loadG = plant.onScaleG(faults.wrong.trayLifted);
    const evenMs = (calmBy.mostG * (nowMs - this.loadAtMs)) / Math.abs(loadG - this.loadG);
    this.loadG = loadG;
    this.loadAtMs = nowMs;
    const calmMs = Math.max(this.movedMs, this.changedMs) + calmAfterMs;
    const mostMs = nowMs < calmMs ? SETTLING_TICK_MS : calmTickMs;
    return GAPS_MS.find((gapMs) => gapMs <= mostMs && gapMs <= evenMs) ?? TICK_MS;
  }

  /** When hands or the pump were last at the tray, ms; in the future while hands are. */
  private get movedMs(): number {
    return Math.max(this.pumpedMs, this.rig.touchedUntilMs);
  }

  /** When the board last started, or a fault began or ended, ms. */
  private get changedMs(): number {
    return Math.max(this.startedMs, this.rig.faults.changedMs);
  }
}
