/**
 * A mat without effect, a band out of reach, a mat that will not switch off. Judged once a minute over
 * the last hours of root-zone temperature.
 */
import type { Band } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';
import type { HeatState } from '../control/heat';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';
import { MinuteHistory } from './minute-history';

const EFFECT_MIN = LIMITS.effectMs / MINUTE_MS;
const STUCK_MIN = LIMITS.stuckMs / MINUTE_MS;
/** Stretch before switching on, from which the forecast takes the trend. */
const TREND_MIN = 10;
const LEVEL_MIN = 60;

/** What the heat control wants, and since when. */
export interface HeatWish {
  readonly heat: HeatState;
  readonly band: Band | null;
}

/** What of the surroundings speaks against judging the mat. */
export interface MatDoubts {
  /** Hands were at the tray lately, and probes may have moved. */
  readonly handsNear: boolean;
  /** No current comes to the mat, and that is said. */
  readonly cutOff: boolean;
}

/** Watches what the mat does to the root zone. */
export class MatWatch {
  readonly #history = new MinuteHistory(LEVEL_MIN + 1);
  /** Calibration of the probe that the history was read with, K. */
  #addedK = 0;
  /** How much warmer than the root zone the mat was when it last heated, K; NaN before that. */
  #heatedK = Number.NaN;
  /** Since when it heats, ms of uptime; whether that has shown, and how much warmer than the root zone it was at most, K. */
  #sinceMs = Number.NaN;
  #shown = false;
  #warmestK = 0;
  #stuckMinutes = 0;
  /** When it last had no current though it was asked for, ms of uptime: it heats since then at the earliest. */
  #cutOffMs = Number.NEGATIVE_INFINITY;

  /** Once a minute. */
  minute(
    readings: Readings,
    { heat, band }: HeatWish,
    { handsNear, cutOff }: MatDoubts,
  ): readonly Finding[] {
    const { rootZone, mat, uptimeMs } = readings;
    const rootC = rootZone.celsius;
    if (readings.away || rootZone.doubtful || rootZone.addedK !== this.#addedK) {
      this.#addedK = rootZone.addedK;
      this.#stuckMinutes = 0;
      this.#history.clear();
      return [];
    }
    this.#history.push(rootC);
    if (cutOff) this.#cutOffMs = uptimeMs;
    const sinceMs = Math.max(heat.sinceMs, this.#cutOffMs);
    const forMs = uptimeMs - sinceMs;
    if (heat.on && band !== null) {
      this.#stuckMinutes = 0;
      if (sinceMs !== this.#sinceMs) {
        this.#sinceMs = sinceMs;
        this.#shown = false;
        this.#warmestK = 0;
      }
      if (forMs >= LIMITS.warmedMs) {
        this.#heatedK = mat.celsius - rootC;
        this.#warmestK = Math.max(this.#warmestK, this.#heatedK);
      }
      // What warms nothing by no current is no news, and says nothing of room or probe.
      if (cutOff) return NOTHING;
      return [
        ...this.#judgeEffect(forMs, rootC, mat.celsius, band.lowC),
        ...this.#judgeReach(forMs, rootC, band.lowC),
      ];
    }
    const backInBand = band === null || rootC >= band.lowC;
    return [
      ...(backInBand
        ? [condition('mat-no-effect', false), condition('band-out-of-reach', false)]
        : []),
      ...(forMs >= LIMITS.stuckMs && !handsNear
        ? this.#judgeStuck(rootC, mat.celsius, band?.highC)
        : []),
    ];
  }

  /**
   * Half an hour of heat must leave the root zone warmer, or at least warmer than it would have
   * become without (its trend before the mat came on). A mat that is itself warm is not dead; a very
   * warm one beside a root zone that does not warm says that the probe lies elsewhere. Nor is one dead that
   * has had its effect and now holds its own, under a lamp switched off or in a cooling room: wet under its tray
   * it is hardly warmer than the wool. One that was clearly warmer and no longer is has died.
   */
  #judgeEffect(forMs: number, rootC: number, matC: number, lowC: number): Finding[] {
    if (forMs < LIMITS.effectMs) return [];
    const fromC = this.#history.ago(EFFECT_MIN);
    const riseK = rootC - fromC;
    const trendK = Math.min(0, (fromC - this.#history.ago(EFFECT_MIN + TREND_MIN)) / TREND_MIN);
    const unheatedC = fromC + (Number.isNaN(trendK) ? 0 : trendK * EFFECT_MIN);
    const noBetter =
      rootC < lowC && riseK < LIMITS.effectRiseK && rootC < unheatedC + LIMITS.effectRiseK;
    if (noBetter && matC - rootC > LIMITS.suspectMatK) {
      return [happened('probe-suspect', rootC, matC)];
    }
    const matWarm = matC > rootC + LIMITS.warmMatK;
    const rises = riseK >= LIMITS.effectRiseK;
    const diedSince = this.#warmestK >= LIMITS.shownMatK;
    const dead = noBetter && !matWarm && (!this.#shown || diedSince);
    // The trend from before the mat came on tells of it only while it is that.
    const isFirst = forMs < LIMITS.effectMs + TREND_MIN * MINUTE_MS;
    const betters = isFirst && rootC >= unheatedC + LIMITS.effectRiseK;
    this.#shown = this.#shown || rises || betters;
    const known = dead || matWarm || rises;
    return known ? [condition('mat-no-effect', dead, riseK, LIMITS.effectRiseK)] : [];
  }

  /**
   * The band cannot be reached: the root zone has stopped short of it, or will, as its slowing rise
   * tells within the first hour. A rise that slows evenly ends at `now + d2 r / (1 - r)`, with `d1`, `d2`
   * the rises of the last two half hours and `r` their ratio (first-order response to a step).
   */
  #judgeReach(forMs: number, rootC: number, lowC: number): Finding[] {
    const levelK = Math.abs(rootC - this.#history.ago(LEVEL_MIN));
    const level = forMs >= LIMITS.reachMs && levelK < LIMITS.reachLevelK;
    const stalled = level && rootC < lowC - LIMITS.reachShortK;
    const short = stalled || (forMs >= LEVEL_MIN * MINUTE_MS && this.#endsShort(rootC, lowC));
    const known = short || rootC >= lowC;
    return known ? [condition('band-out-of-reach', short, rootC, lowC)] : [];
  }

  #endsShort(rootC: number, lowC: number): boolean {
    const halfWayC = this.#history.ago(LEVEL_MIN / 2);
    const d1 = halfWayC - this.#history.ago(LEVEL_MIN);
    const d2 = rootC - halfWayC;
    const ratio = d2 / d1;
    if (!(d1 >= LIMITS.forecastRiseK) || !(ratio > 0 && ratio < 1)) return false;
    return rootC + (d2 * ratio) / (1 - ratio) < lowC - LIMITS.forecastShortK;
  }

  /** Heat that still comes from the mat; sunshine or a warm room warms the root zone, but not past the mat. */
  #judgeStuck(rootC: number, matC: number, highC: number | undefined): Finding[] {
    const riseK = rootC - this.#history.ago(STUCK_MIN);
    const aboveBand = highC === undefined || rootC > highC;
    const heatedK = Number.isNaN(this.#heatedK) ? 0 : this.#heatedK * LIMITS.stuckWarmShare;
    // A mat probe that cannot tell does not speak for the mat.
    const matGives = !(matC - rootC < Math.max(LIMITS.stuckWarmK, heatedK));
    const heats = aboveBand && riseK > LIMITS.stuckRiseK && matGives;
    this.#stuckMinutes = heats ? this.#stuckMinutes + 1 : 0;
    if (this.#stuckMinutes < LIMITS.stuckMinutes) return [];
    this.#stuckMinutes = 0;
    return [happened('mat-stuck-on', rootC, highC)];
  }
}
