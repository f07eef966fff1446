/**
 * A mat without effect, a band out of reach, a mat that will not switch off. Judged once a minute over
 * the last hours of root-zone temperature.
 */
import type { Band } from '../../shared/profile/profile';
import type { HeatState } from '../control/heat';
import { MinuteHistory } from '../control/minute-history';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened } from './finding';

const MINUTE_MS = 60_000;
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

/** Watches what the mat does to the root zone. */
export class MatWatch {
  readonly #history = new MinuteHistory(LEVEL_MIN + 1);
  /** Calibration of the probe that the history was read with, K. */
  #addedK = 0;

  /** Once a minute. */
  minute(readings: Readings, { heat, band }: HeatWish): readonly Finding[] {
    const { rootZone, mat, uptimeMs } = readings;
    const rootC = rootZone.celsius;
    if (rootZone.doubtful || rootZone.addedK !== this.#addedK) {
      this.#addedK = rootZone.addedK;
      this.#history.clear();
      return [];
    }
    this.#history.push(rootC);
    const forMs = uptimeMs - heat.sinceMs;
    if (heat.on && band !== null) {
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
      ...(forMs >= LIMITS.stuckMs ? this.#judgeStuck(rootC, mat.celsius, band?.highC) : []),
    ];
  }

  /**
   * Half an hour of heat must leave the root zone warmer, or at least warmer than it would have
   * become without (its trend before the mat came on). A mat that is itself warm is not dead; a very
   * warm one beside a root zone that does not warm says that the probe lies elsewhere.
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
    const dead = noBetter && !matWarm;
    const known = dead || matWarm || riseK >= LIMITS.effectRiseK;
    return known ? [condition('mat-no-effect', dead, riseK, LIMITS.effectRiseK)] : [];
  }

  #judgeReach(forMs: number, rootC: number, lowC: number): Finding[] {
    const levelK = Math.abs(rootC - this.#history.ago(LEVEL_MIN));
    const stalled = forMs >= LIMITS.reachMs && levelK < LIMITS.reachLevelK && rootC < lowC;
    const known = stalled || rootC >= lowC;
    return known ? [condition('band-out-of-reach', stalled, rootC, lowC)] : [];
  }

  /** Heat that still comes from the mat; sunshine on the lid warms the root zone, but not past the mat. */
  #judgeStuck(rootC: number, matC: number, highC: number | undefined): Finding[] {
    const riseK = rootC - this.#history.ago(STUCK_MIN);
    const aboveBand = highC === undefined || rootC > highC;
    const matGives = !(matC <= rootC + LIMITS.warmMatK);
    const stuck = aboveBand && riseK > LIMITS.stuckRiseK && matGives;
    return stuck ? [happened('mat-stuck-on', rootC, highC)] : [];
  }
}
