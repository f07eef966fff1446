/**
 * How fast the tray dries, held against what the lid's place has meant so far: a lid left off in
 * germination shows here within half an hour, and in dry-back only when the seed is dead.
 */
import type { LidPlace } from '../../shared/profile/profile';
import { MinuteHistory } from '../control/minute-history';
import { DRYING_LIMITS as LIMITS } from '../limits';
import { condition, type Finding } from './finding';

const SPAN_MIN = LIMITS.spanMs / 60_000;
const PER_HOUR = 60 / SPAN_MIN;

/** Watches the drying rate of one tray, an undisturbed minute at a time. */
export class DryingWatch {
  readonly #history = new MinuteHistory(SPAN_MIN + 1);
  #lid: LidPlace | null = null;
  /** Usual rate under this lid, g/h; NaN until it is known. */
  #usualGPerH = Number.NaN;
  #present = false;

  /** Rate over the last half hour, g/h; NaN while unknown. */
  gPerH = Number.NaN;

  /** Usual rate under the lid as it should be now, g/h; NaN while unknown. */
  get usualGPerH(): number {
    return this.#usualGPerH;
  }

  /** One undisturbed minute more, at `trayG`, the lid where the stage wants it (null before sowing). */
  minute(trayG: number, lid: LidPlace | null): readonly Finding[] {
    if (lid !== this.#lid) {
      this.#lid = lid;
      this.#usualGPerH = Number.NaN;
      this.#present = false;
      this.interrupt();
      return [condition('drying-fast', false)];
    }
    if (lid === null) return [];
    this.#history.push(trayG);
    this.gPerH = (this.#history.ago(SPAN_MIN) - trayG) * PER_HOUR;
    if (Number.isNaN(this.gPerH)) return [];
    const limitGPerH = Math.max(
      LIMITS.leastGPerH[lid],
      LIMITS.usualTimes * (Number.isNaN(this.#usualGPerH) ? 0 : this.#usualGPerH),
    );
    this.#present = this.gPerH > limitGPerH * (this.#present ? LIMITS.backShare : 1);
    // What is an alarm is not learnt as usual.
    if (!this.#present) this.#learn();
    return [condition('drying-fast', this.#present, this.gPerH, limitGPerH)];
  }

  /** The weight was disturbed: the minutes before say nothing any more. */
  interrupt(): void {
    this.#history.clear();
    this.gPerH = Number.NaN;
  }

  #learn(): void {
    const nowGPerH = Math.max(0, this.gPerH);
    this.#usualGPerH = Number.isNaN(this.#usualGPerH)
      ? nowGPerH
      : this.#usualGPerH + (nowGPerH - this.#usualGPerH) * LIMITS.learnShare;
  }
}
