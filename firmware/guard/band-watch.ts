/**
 * The root zone outside its band, whatever the cause: said for the plants, not for the mat. While it is
 * on its way back there is nothing to do but to wait. Judged once a minute.
 */
import type { Band } from '../../shared/profile/profile';
import { MinuteHistory } from '../control/minute-history';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';

const TREND_MIN = 60;

/** One side of the band. */
class Side {
  #outsideMs = 0;
  #insideMs = 0;
  #present = false;
  /** Since it was over the last time, ms; and whether this time came so soon after that it is the same one. */
  #overMs = Number.POSITIVE_INFINITY;
  #again = false;

  constructor(
    readonly alarm: 'too-warm' | 'too-cold',
    /** For how long it must last, ms. */
    readonly limitMs: number,
  ) {}

  /** `beyondK`: how far beyond the edge, above 0 outside. `comesBackK`: how much nearer within an hour. */
  judge(beyondK: number, comesBackK: number, rootC: number, edgeC: number, dtMs: number): Finding {
    const outside = beyondK > (this.#present ? LIMITS.bandBackK : LIMITS.bandBeyondK);
    this.#outsideMs = outside ? this.#outsideMs + dtMs : 0;
    this.#insideMs = outside ? 0 : this.#insideMs + dtMs;
    this.#overMs += dtMs;
    // While the trend is not known yet, it may.
    const comesBack = !(comesBackK < LIMITS.bandTrendK);
    if (this.#present) {
      if (!outside && this.#insideMs >= (this.#again ? LIMITS.bandNightMs : 0)) this.#end();
    } else if (this.#outsideMs >= this.limitMs && !comesBack) {
      this.#present = true;
      this.#again = this.#overMs <= LIMITS.bandAgainMs;
    }
    return condition(this.alarm, this.#present, rootC, edgeC);
  }

  /** There is no band, or no tray in it: what was before is another matter. */
  end(): Finding {
    this.#outsideMs = 0;
    this.#present = false;
    this.#overMs = Number.POSITIVE_INFINITY;
    return condition(this.alarm, false);
  }

  #end(): void {
    this.#present = false;
    this.#overMs = 0;
  }
}

/** Watches the root zone against the band in force. */
export class BandWatch {
  readonly #history = new MinuteHistory(TREND_MIN + 1);
  readonly #warm = new Side('too-warm', LIMITS.tooWarmMs);
  readonly #cold = new Side('too-cold', LIMITS.tooColdMs);

  /** Once a minute, `dtMs` after the last. Without a band or a tray nothing is out of it. */
  minute({ rootZone, away }: Readings, band: Band | null, dtMs: number): readonly Finding[] {
    if (band === null || away) {
      this.#history.clear();
      return [this.#warm.end(), this.#cold.end()];
    }
    const rootC = rootZone.celsius;
    // A probe in doubt says nothing, and has an alarm of its own.
    if (Number.isNaN(rootC)) return [];
    this.#history.push(rootC);
    const roseK = rootC - this.#history.ago(TREND_MIN);
    return [
      this.#warm.judge(rootC - band.highC, -roseK, rootC, band.highC, dtMs),
      this.#cold.judge(band.lowC - rootC, roseK, rootC, band.lowC, dtMs),
    ];
  }
}
