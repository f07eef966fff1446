/**
 * Water that runs in too fast to be read as a settled weight - a pump that does not switch off, a
 * siphon through a wide tube. A weight that never settles looks like a hand on the tray; a hand,
 * though, does not raise it evenly for minutes.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { type Finding, happened, NOTHING } from './finding';

/** What has run in at the least when the rise has lasted long enough, g. */
const INFLOW_G = (LIMITS.inflowGPerS * LIMITS.inflowStepMs * LIMITS.inflowSteps) / 1000;

/** Watches for an even inflow. */
export class InflowWatch {
  #fromG = Number.NaN;
  /** Weight when the even rise began, g. */
  #riseFromG = Number.NaN;
  #fromMs = 0;
  #pumpedMs = Number.NEGATIVE_INFINITY;
  #risingSteps = 0;
  #pumpSteps = 0;

  /** Each tick: water fills a tray in minutes. `mlPerS` is the pump's rate, NaN while unknown. */
  tick({ scale, uptimeMs }: Readings, pumping: boolean, mlPerS: number): readonly Finding[] {
    if (pumping) this.#pumpedMs = uptimeMs;
    const settling = uptimeMs - this.#pumpedMs < LIMITS.inflowSettleMs;
    if (settling || scale.state !== 'ok') {
      this.#restart(Number.NaN, uptimeMs);
      return NOTHING;
    }
    if (Number.isNaN(this.#fromG)) this.#restart(scale.grams, uptimeMs);
    if (uptimeMs - this.#fromMs < LIMITS.inflowStepMs) return NOTHING;
    return this.#judge(scale.grams, uptimeMs, mlPerS);
  }

  #judge(grams: number, uptimeMs: number, mlPerS: number): readonly Finding[] {
    const gPerS = (grams - this.#fromG) / ((uptimeMs - this.#fromMs) / 1000);
    if (this.#risingSteps === 0) this.#riseFromG = this.#fromG;
    this.#fromG = grams;
    this.#fromMs = uptimeMs;
    this.#risingSteps = gPerS > LIMITS.inflowGPerS ? this.#risingSteps + 1 : 0;
    // Feed is so nearly 1 g/ml that the tolerance swallows the difference.
    const share = gPerS / mlPerS;
    const likePump = share >= LIMITS.stuckPumpMinShare && share <= LIMITS.stuckPumpMaxShare;
    this.#pumpSteps = this.#risingSteps > 0 && likePump ? this.#pumpSteps + 1 : 0;
    if (this.#pumpSteps >= LIMITS.stuckPumpSteps) {
      this.#restart(grams, uptimeMs);
      return [happened('pump-stuck-on', gPerS, mlPerS)];
    }
    if (this.#risingSteps >= LIMITS.inflowSteps) {
      const roseG = grams - this.#riseFromG;
      this.#restart(grams, uptimeMs);
      return [happened('weight-rising', roseG, INFLOW_G)];
    }
    return NOTHING;
  }

  #restart(fromG: number, uptimeMs: number): void {
    this.#fromG = fromG;
    this.#fromMs = uptimeMs;
    this.#risingSteps = 0;
    this.#pumpSteps = 0;
  }
}
