/**
 * Guard, rows three to five: a mat without effect, a band out of reach, a mat that will not switch
 * off. Judged once a minute over the last hours of root-zone temperature.
 */
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray/tray';
import { MinuteHistory } from './history';

const MINUTE_MS = 60_000;
const EFFECT_MIN = LIMITS.effectMs / MINUTE_MS;
const STUCK_MIN = LIMITS.stuckMs / MINUTE_MS;
/** Stretch before switching on, from which the forecast takes the trend. */
const TREND_MIN = 10;
const LEVEL_MIN = 60;

/** Watches what the mat does to the root zone. */
export class MatWatch {
  readonly #history = new MinuteHistory(LEVEL_MIN + 1);
  /** Calibration of the probe that the history was read with, K. */
  #addedK = 0;

  constructor(readonly tray: Tray) {}

  /** Once a minute. */
  minute(uptimeMs: number): void {
    const { rootZone, mat, heat, band } = this.tray;
    const rootC = rootZone.celsius;
    if (rootZone.doubtful || rootZone.addedK !== this.#addedK) {
      this.#addedK = rootZone.addedK;
      this.#history.clear();
      return;
    }
    this.#history.push(rootC);
    const forMs = uptimeMs - heat.sinceMs;
    if (heat.on && band !== null) {
      this.#judgeEffect(uptimeMs, forMs, rootC, mat.celsius, band.lowC);
      this.#judgeReach(uptimeMs, forMs, rootC, band.lowC);
      return;
    }
    const backInBand = band === null || rootC >= band.lowC;
    if (backInBand) {
      this.tray.alarms.set('mat-no-effect', false, uptimeMs, rootC, 0);
      this.tray.alarms.set('band-out-of-reach', false, uptimeMs, rootC, 0);
    }
    if (forMs >= LIMITS.stuckMs) this.#judgeStuck(uptimeMs, rootC, mat.celsius, band?.highC);
  }

  /**
   * Half an hour of heat must leave the root zone warmer, or at least warmer than it would have
   * become without (its trend before the mat came on). A mat that is itself warm is not dead; a very
   * warm one beside a root zone that does not warm says that the probe lies elsewhere.
   */
  #judgeEffect(uptimeMs: number, forMs: number, rootC: number, matC: number, lowC: number): void {
    if (forMs < LIMITS.effectMs) return;
    const fromC = this.#history.ago(EFFECT_MIN);
    const riseK = rootC - fromC;
    const trendK = Math.min(0, (fromC - this.#history.ago(EFFECT_MIN + TREND_MIN)) / TREND_MIN);
    const unheatedC = fromC + (Number.isNaN(trendK) ? 0 : trendK * EFFECT_MIN);
    const noBetter =
      rootC < lowC && riseK < LIMITS.effectRiseK && rootC < unheatedC + LIMITS.effectRiseK;
    if (noBetter && matC - rootC > LIMITS.suspectMatK) {
      this.tray.alarms.strike('probe-suspect', uptimeMs, rootC, matC);
      return;
    }
    const matWarm = matC > rootC + LIMITS.warmMatK;
    const dead = noBetter && !matWarm;
    if (dead || matWarm || riseK >= LIMITS.effectRiseK) {
      this.tray.alarms.set('mat-no-effect', dead, uptimeMs, riseK, LIMITS.effectRiseK);
    }
  }

  #judgeReach(uptimeMs: number, forMs: number, rootC: number, lowC: number): void {
    const levelK = Math.abs(rootC - this.#history.ago(LEVEL_MIN));
    const stalled = forMs >= LIMITS.reachMs && levelK < LIMITS.reachLevelK && rootC < lowC;
    if (stalled || rootC >= lowC) {
      this.tray.alarms.set('band-out-of-reach', stalled, uptimeMs, rootC, lowC);
    }
  }

  /** Heat that still comes from the mat; sunshine on the lid warms the root zone, but not past the mat. */
  #judgeStuck(uptimeMs: number, rootC: number, matC: number, highC: number | undefined): void {
    const riseK = rootC - this.#history.ago(STUCK_MIN);
    const aboveBand = highC === undefined || rootC > highC;
    const matGives = !(matC <= rootC + LIMITS.warmMatK);
    if (aboveBand && riseK > LIMITS.stuckRiseK && matGives) {
      this.tray.alarms.strike('mat-stuck-on', uptimeMs, rootC, highC ?? Number.NaN);
    }
  }
}
