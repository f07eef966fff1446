/**
 * The root zone outside its band, whatever the cause: said for the plants, not for the mat. While it is
 * on its way back there is nothing to do but to wait. Judged once a minute.
 */
import type { Band } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import type { PowerCut } from '../control/outage';
import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';
import { NO_TREND, Trend, type TrendSoFar } from './trend';

/** A trend that is not known yet is waited for so long. */
const TREND_MS = HOUR_MS;

/** A root zone that has fallen so far beyond its band has been beyond it for about an hour: wet wool cools 2 K/h. */
const fellFar = ({ beforeC, afterC }: PowerCut): boolean => beforeC - afterC > LIMITS.bandBeyondK;

/** What is known of the time before this start, and whether it was said then that the root zone is too warm, or too cold. */
export interface BeforeStart extends PowerCut {
  readonly tooWarm: boolean;
  readonly tooCold: boolean;
}

/** What is known of a root zone outside its band: the next start goes on with it. */
export interface BandSoFar {
  /** For how long it has been outside, on whichever side, ms. */
  readonly outOfBandMs: number;
  readonly trend: TrendSoFar;
}
export const NOTHING_SO_FAR: BandSoFar = { outOfBandMs: 0, trend: NO_TREND };

/** How the root zone stands to one edge of its band. */
interface ToEdge {
  readonly rootC: number;
  readonly edgeC: number;
  /** How far beyond the edge, K, above 0 outside; and how much the crop bears at most. */
  readonly beyondK: number;
  readonly bearsK: number;
  /** How much nearer it came within an hour, K; NaN while unknown. */
  readonly comesBackK: number;
}

/** One side of the band. */
class Side {
  #outsideMs = 0;
  #insideMs = 0;
  /** For how long it has been beyond what the crop bears, ms. */
  #unbearableMs = 0;
  #present = false;
  /** For how long it has lasted, and nobody could tell yet whether it comes back, ms. */
  #unclearMs = 0;
  /** Since it was over the last time, ms; and whether this time came so soon after that it is the same one. */
  #overMs = Number.POSITIVE_INFINITY;
  #again = false;

  constructor(
    readonly alarm: 'too-warm' | 'too-cold',
    /** For how long it must last, ms. */
    readonly limitMs: number,
  ) {}

  /** For how long it has been beyond its edge, ms. */
  get outsideMs(): number {
    return this.#outsideMs;
  }

  judge({ rootC, edgeC, beyondK, bearsK, comesBackK }: ToEdge, dtMs: number): Finding {
    const outside = beyondK > (this.#present ? LIMITS.bandBackK : LIMITS.bandBeyondK);
    const unbearable = beyondK > bearsK;
    this.#outsideMs = outside ? this.#outsideMs + dtMs : 0;
    this.#insideMs = outside || unbearable ? 0 : this.#insideMs + dtMs;
    this.#unbearableMs = unbearable ? this.#unbearableMs + dtMs : 0;
    this.#overMs += dtMs;
    // While the trend is not known yet, it may; but a tray that is lifted time and again hides it for ever.
    const isUnclear = Number.isNaN(comesBackK);
    this.#unclearMs = isUnclear && this.#hasLasted() ? this.#unclearMs + dtMs : 0;
    const comesBack = isUnclear ? this.#unclearMs <= TREND_MS : comesBackK >= LIMITS.bandTrendK;
    if (this.#present) {
      const isOver = this.#insideMs > 0 && this.#insideMs >= (this.#again ? LIMITS.bandNightMs : 0);
      if (isOver) this.#end();
    } else if (!comesBack && this.#hasLasted()) {
      this.#present = true;
      this.#again = this.#overMs <= LIMITS.bandAgainMs;
    }
    const limitC = unbearable ? edgeC + bearsK : edgeC;
    return condition(this.alarm, this.#present, rootC, limitC);
  }

  /** It was so for longer than it must last before this start: it is said, though it may be coming back. */
  foundAtStart(): void {
    this.#outsideMs = this.limitMs;
    this.#present = true;
  }

  /**
   * It is beyond its edge by `beyondK` at a start, and was by `wasK` before it, K, for `forMs`; `said`: it was an alarm then.
   * What was said is not over by a start; nor does what nobody had said yet begin with it.
   */
  goesOnOverStart(beyondK: number, wasK: number, forMs: number, said: boolean): void {
    if (said && beyondK > LIMITS.bandBackK) this.foundAtStart();
    else if (Math.min(beyondK, wasK) > LIMITS.bandBeyondK) {
      this.#outsideMs = forMs;
      this.#unclearMs = Math.max(0, forMs - this.limitMs);
    }
  }

  /** The tray stands somewhere else: what it was like shows when it is back. */
  pause(dtMs: number): void {
    this.#overMs += dtMs;
  }

  /** There is no band, so nothing is out of it. */
  end(): Finding {
    this.#outsideMs = 0;
    this.#unbearableMs = 0;
    this.#unclearMs = 0;
    this.#overMs = Number.POSITIVE_INFINITY;
    this.#present = false;
    return condition(this.alarm, false);
  }

  #hasLasted(): boolean {
    return this.#outsideMs >= this.limitMs || this.#unbearableMs >= LIMITS.tooHotMs;
  }

  #end(): void {
    this.#present = false;
    this.#overMs = 0;
  }
}

/** Watches the root zone against the band in force. */
export class BandWatch {
  readonly #trend: Trend;
  readonly #warm = new Side('too-warm', LIMITS.tooWarmMs);
  readonly #cold = new Side('too-cold', LIMITS.tooColdMs);
  /** What is known of the time before this start has been judged: by the readings, and by the clock. */
  #judged = { readings: false, clock: false };
  /** For how long it was outside before this start, ms, until that has been judged. */
  #beforeMs: number;

  /** `before` is what was known before this start. */
  constructor(before: BandSoFar = NOTHING_SO_FAR) {
    this.#trend = new Trend(before.trend);
    this.#beforeMs = before.outOfBandMs;
  }

  get soFar(): BandSoFar {
    const outOfBandMs = Math.max(this.#beforeMs, this.#warm.outsideMs, this.#cold.outsideMs);
    return { outOfBandMs, trend: this.#trend.soFar };
  }

  /**
   * Once a minute, `dtMs` after the last. Without a band nothing is out of it. A tray that is lifted or soaked beside the
   * scale is the same tray when it is back, after hours as well: what its probe reads meanwhile, in the wool or hanging in
   * the room, is not counted, and one that was out of its band is so until it is seen back in it. It has an hour then to show
   * whether it comes back by itself, warm from where it stood or wet with cold water. `maxC` is what the crop bears, null
   * without a profile.
   */
  minute(
    { rootZone, away }: Readings,
    band: Band | null,
    maxC: number | null,
    dtMs: number,
    before: BeforeStart | null = null,
  ): readonly Finding[] {
    if (band === null || away) this.#trend.clear();
    if (band === null) {
      this.#beforeMs = 0;
      return [this.#warm.end(), this.#cold.end()];
    }
    if (away) {
      this.#warm.pause(dtMs);
      this.#cold.pause(dtMs);
    }
    const rootC = rootZone.celsius;
    // A probe in doubt says nothing, and has an alarm of its own.
    if (away || Number.isNaN(rootC)) return [];
    this.#trend.push(rootC);
    const { risesK } = this.#trend;
    const { lowC, highC } = band;
    if (before !== null) this.#judgeBefore(before, rootC, band);
    const warm = {
      rootC,
      edgeC: highC,
      beyondK: rootC - highC,
      bearsK: (maxC ?? Number.POSITIVE_INFINITY) - highC,
      comesBackK: -risesK,
    };
    const cold = {
      rootC,
      edgeC: lowC,
      beyondK: lowC - rootC,
      bearsK: Number.POSITIVE_INFINITY,
      comesBackK: risesK,
    };
    return [this.#warm.judge(warm, dtMs), this.#cold.judge(cold, dtMs)];
  }

  /** What was so before this start, and still is: judged once by the readings, and once by the clock, when it is told. */
  #judgeBefore(before: BeforeStart, rootC: number, { lowC, highC }: Band): void {
    const { readings, clock } = this.#judged;
    if (!readings) {
      const { beforeC, tooWarm, tooCold } = before;
      this.#warm.goesOnOverStart(rootC - highC, beforeC - highC, this.#beforeMs, tooWarm);
      this.#cold.goesOnOverStart(lowC - rootC, lowC - beforeC, this.#beforeMs, tooCold);
      this.#beforeMs = 0;
    }
    // The board was off for longer than the cold may last.
    const wasCold = (!readings && fellFar(before)) || (!clock && before.forMs >= LIMITS.tooColdMs);
    if (wasCold && lowC - rootC > LIMITS.bandBeyondK) this.#cold.foundAtStart();
    this.#judged = { readings: true, clock: clock || !Number.isNaN(before.forMs) };
  }
}
