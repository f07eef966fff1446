/** Water that runs out of the tray again: since when it was given, and what it leaves. Owner of its part of the run state. */
import {
  type Drainage,
  drainsOn,
  hasDrained,
  NOT_WATCHED,
  nextDrainage,
  WATERED,
} from '../control/drainage';
import { afterHand, type HandOver } from '../control/hand-watering';
import type { Watered } from '../tray/run-state';
import type { Tray } from '../tray/tray';

/** The water of one tray that may still drain. */
export class Draining {
  /** A start goes on with what drained before it, from its first weight on. */
  #drainage: Drainage;
  readonly #watered: Watered;
  /** What drained as the hand came, as long as that has taken and left nothing. */
  #beforeHand: Drainage = NOT_WATCHED;
  /** Since then, ms of uptime. */
  #handSinceMs = 0;

  constructor(
    readonly tray: Tray,
    watered: Watered,
  ) {
    this.#watered = watered;
    this.#drainage = watered.drains ? WATERED : NOT_WATCHED;
  }

  /** A tray soaked so long ago, and watered by hand when it was, has drained: a fall of its weight says something. */
  isOver(sinceSoakedMs: number): boolean {
    return hasDrained(sinceSoakedMs, this.#watered.sinceByHandMs);
  }

  pass(dtMs: number): void {
    this.#watered.sinceByHandMs += dtMs;
  }

  /** Water was given, by hand or by the pump: if enough, it runs out again down to container capacity. */
  watered(): void {
    this.#follow(WATERED);
  }

  /** It runs off by itself: it is followed, as if it had been watered now, if it is not yet. */
  runsOff(): void {
    if (this.#drainage.phase === 'not-watched') this.watered();
  }

  /** Water was poured on, as shows only now: it drains from now on. */
  poured(): void {
    this.#watered.sinceByHandMs = 0;
    this.watered();
  }

  /** Other pieces stand there, soaked as a rule: they drain. */
  replaced(): void {
    this.#watered.sinceByHandMs = 0;
  }

  /** A hand comes: nobody can follow what drains until it is over. */
  handComes(): void {
    this.#beforeHand = this.#drainage;
    this.#handSinceMs = this.tray.uptimeMs;
  }

  /** Something was taken or left. */
  stepBooked(): void {
    this.#beforeHand = NOT_WATCHED;
  }

  /** A hand is over, on a tray that was soaked so long ago. */
  handOver(sinceSoakedMs: number, hand: HandOver): void {
    const after = afterHand(sinceSoakedMs, this.#watered.sinceByHandMs, hand);
    this.#watered.sinceByHandMs = after.sinceWateredMs;
    const handMs = this.tray.uptimeMs - this.#handSinceMs;
    if (this.#beforeHand.phase !== 'not-watched') this.#follow(drainsOn(this.#beforeHand, handMs));
    if (after.watered) this.runsOff();
  }

  /**
   * A minute passed, with nothing but water at work on the weight if `undisturbed`. The weight that the tray has drained
   * down to, g, once; null in all other minutes.
   */
  minute(grams: number, undisturbed: boolean): number | null {
    const { state, capacityG } = undisturbed
      ? nextDrainage(this.#drainage, grams)
      : { state: NOT_WATCHED, capacityG: null };
    this.#follow(state);
    return capacityG;
  }

  /** What begins to drain, or does not any more, is kept over a start. */
  #follow(drainage: Drainage): void {
    this.#drainage = drainage;
    const drains = drainage.phase !== 'not-watched';
    if (drains === this.#watered.drains) return;
    this.#watered.drains = drains;
    this.tray.touch();
  }
}
