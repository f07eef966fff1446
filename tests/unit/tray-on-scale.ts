/** A tray on a scale that is read once a second, as the weight's rules see it: no board, no bench. */
import { foreignG } from '../../firmware/control/ledger';
import { NOT_SINCE_CUT } from '../../firmware/control/weighing';
import { effectiveG, isHandled, NO_WEIGHT, nextWeight } from '../../firmware/control/weight';
import { weightBefore } from '../../firmware/control/weight-kept';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, SECOND_MS } from '../../shared/units/time';

export const QUIET_S = WEIGHT_LIMITS.quietMs / SECOND_MS;
/** 98 plugs: dry with their tray, and at container capacity, g. */
export const TRAY = { dryG: 536, capacityG: 4_596, plantsG: 0 };

/** A step that a hand does at once, seen by the scale, on a tray that loses nothing. */
export const SEEN_AT_ONCE = {
  unseenMs: 0,
  losesGPerMs: 0,
  reckonedG: 0,
  hidesG: 0,
  isMatBare: false,
  handMs: 0,
} as const;

/** A tray on the scale, read once a second. */
export class TrayOnScale {
  state = NO_WEIGHT;
  /** It has been up for an hour. */
  uptimeMs = HOUR_MS;
  grams: number;
  driesGPerMs = 0;
  losesGPerMs = 0;
  /** It trembles by so much, g; 0: it does not. */
  noisyG = 0;
  /** By how much the mat is colder than the root zone, K; NaN: no probe says. */
  matColderK = Number.NaN;

  constructor(
    grams: number,
    readonly holds = TRAY,
  ) {
    this.grams = grams;
    this.rest(1);
  }

  read(grams: number, stable: boolean, expectedRiseG = 0): void {
    this.uptimeMs += SECOND_MS;
    const roseG = grams - this.grams;
    this.grams = grams;
    const { uptimeMs, driesGPerMs, losesGPerMs, noisyG, matColderK } = this;
    // Field by field: a hundred thousand readings take far less than with parts spread into one.
    const { dryG, capacityG, plantsG } = this.holds;
    const input = {
      dryG,
      capacityG,
      plantsG,
      uptimeMs,
      dtMs: SECOND_MS,
      noisyG,
      driesGPerMs,
      losesGPerMs,
      grams,
      stable,
      expectedRiseG,
      roseG,
      matColderK,
    };
    this.state = nextWeight(this.state, input);
  }

  /** What a start knows of it, at 0 of uptime. */
  get #kept(): Parameters<typeof weightBefore>[0] {
    const { ledger, settledG, hidden } = this.state;
    const since = hidden && { ...hidden, atMs: hidden.atMs - this.uptimeMs };
    return { ledger, settledG, hidden: since };
  }

  /** The power goes for nobody knows how long; meanwhile it weighs `changeG` more. */
  cutOff(changeG: number): void {
    this.state = weightBefore(this.#kept, NOT_SINCE_CUT);
    this.uptimeMs = 0;
    for (let s = 0; s < 10; s++) this.read(Number.NaN, false);
    this.grams = this.state.settledG + changeG;
    this.rest(QUIET_S + 30);
  }

  /** The board starts anew, its power on. */
  restart(): void {
    const weighing = { is: 'not-since-start', silentMs: 0 } as const;
    this.state = weightBefore(this.#kept, weighing);
    this.uptimeMs = 0;
  }

  /** It dries for so long by `gPerH`, and the scale cannot say. */
  unweighed(hours: number, gPerH: number): void {
    const { grams } = this;
    this.driesGPerMs = gPerH / HOUR_MS;
    for (let s = 0; s < hours * 3_600; s++) this.read(Number.NaN, false);
    this.grams = grams - hours * gPerH;
  }

  rest(seconds: number): void {
    for (let s = 0; s < seconds; s++) this.read(this.grams, true);
  }

  /** Somebody changes the weight, and goes away. */
  byHand(changeG: number): void {
    this.read(this.grams + changeG, false);
    this.rest(QUIET_S + 2);
  }

  get handled(): boolean {
    return isHandled(this.state);
  }

  get waterG(): number {
    return effectiveG(this.state, this.grams);
  }

  get foreignG(): number {
    return foreignG(this.state.ledger);
  }
}

/** About 1 g a second, never the same for long: no even drift. */
export const unevenly = (s: number): number => 1 + 0.8 * Math.sin(s / 15);
