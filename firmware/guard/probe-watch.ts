/** Probes that lie, and a root zone or a mat that is too hot. */
import { LIMITER } from '../../shared/board/map';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';

/**
 * Watches both probes. Heat is told by the temperature alone, and not by whether the limiter has
 * opened: that opens for a single bad reading of a broken wire too. Nothing is missed. Where it opens
 * for heat, at 40 C and 55 C by the plain curve, the guard's own figure is 38 C and 53 C at the least -
 * a calibration takes off 2 K at most, and the smoothing lags by ten seconds' rise, 0.01 K in wet wool -
 * which reaches the guard's 38 C and passes its 50 C.
 */
export class ProbeWatch {
  #rootHot = false;
  #matHot = false;
  /** The last tick had something to say. */
  #told = true;
  /** Uptime of a jump that hands may still explain, ms; NaN when there is none. */
  #jumpedMs = Number.NaN;

  /**
   * Each tick: heat is what can hurt fastest. A probe that stands still or jumps says something only of
   * a tray that is `sown`. `rootZoneMaxC` is the profile's, or null. A jump is a hand's where hands are
   * `handsNear`: an aired, lifted or transplanted tray moves its probe; and hands may show a little
   * later than the probe does. Until that is known the probe is in doubt, and the mat off.
   */
  tick(
    readings: Readings,
    sown: boolean,
    rootZoneMaxC: number | null,
    handsNear: boolean,
  ): readonly Finding[] {
    const { rootZone, mat } = readings;
    const { state, code, celsius } = rootZone;
    // The limiter reads the same probe: where it stands still, only the root zone tells of a hot mat.
    const matFrozen = mat.state === 'frozen' && sown;
    const matFailed = mat.state === 'open' || mat.state === 'short' || matFrozen;
    const limitC = Math.min(rootZoneMaxC ?? LIMITS.rootZoneHotC, LIMITS.rootZoneHotC);
    this.#rootHot = celsius > limitC - (this.#rootHot ? LIMITS.hotHysteresisK : 0);
    this.#matHot = mat.celsius > LIMITS.matHotC - (this.#matHot ? LIMITS.hotHysteresisK : 0);
    const troubled =
      state !== 'ok' || matFailed || this.#rootHot || this.#matHot || mat.state !== 'ok';
    // The tick of a tray in order makes no garbage: it has nothing to say, once it has said so.
    if (!troubled && !this.#told) return NOTHING;
    this.#told = troubled;
    const findings = [
      condition('probe-open', state === 'open', code, LIMITER.openCode),
      condition('probe-short', state === 'short', code, LIMITER.shortCode),
      condition('probe-frozen', state === 'frozen' && sown, celsius, 0),
      condition('mat-probe-failed', matFailed, mat.code, LIMITER.openCode),
      condition('root-zone-hot', this.#rootHot, celsius, limitC),
      condition('mat-hot', this.#matHot, mat.celsius, LIMITS.matHotC),
    ];
    if (this.#isJumpUnexplained(readings, sown, handsNear)) {
      findings.push(happened('probe-jumped', celsius, 0));
    }
    return findings;
  }

  /** Nobody was there: the probe has fallen out, or its wire is about to break. */
  #isJumpUnexplained({ rootZone, uptimeMs }: Readings, sown: boolean, handsNear: boolean): boolean {
    if (rootZone.state !== 'jumped' || !sown || handsNear) {
      this.#jumpedMs = Number.NaN;
      return false;
    }
    if (Number.isNaN(this.#jumpedMs)) this.#jumpedMs = uptimeMs;
    return uptimeMs - this.#jumpedMs >= LIMITS.handsBeforeMs;
  }
}
