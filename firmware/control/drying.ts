/** How fast the tray dries by itself, from its weight once a minute while nobody and nothing disturbs it. */
import { WEIGHT_LIMITS } from '../limits';
import { MinuteHistory } from './minute-history';

const FALL_MIN = WEIGHT_LIMITS.fallingMs / 60_000;

/** The last undisturbed minutes of one tray. */
export class Drying {
  /** Rate when the tray was last left alone for a while, g/ms; zero or more. */
  gPerMs = 0;
  /** What it lost in the last ten undisturbed minutes, g; NaN while there are none. */
  fellG = Number.NaN;
  readonly #history = new MinuteHistory(FALL_MIN + 1);

  /** One undisturbed minute more, at `trayG`. */
  push(trayG: number): void {
    this.#history.push(trayG);
    this.fellG = this.#history.ago(FALL_MIN) - trayG;
    if (!Number.isNaN(this.fellG)) {
      this.gPerMs = Math.max(0, this.fellG) / WEIGHT_LIMITS.fallingMs;
    }
  }

  /** The weight was disturbed: the minutes before say nothing any more, the rate stays. */
  interrupt(): void {
    this.#history.clear();
    this.fellG = Number.NaN;
  }
}
