/** Probes that lie, and a root zone or a mat that is too hot. */
import { LIMITER } from '../../shared/board/map';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened } from './finding';

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

  /**
   * Each tick: heat is what can hurt fastest. A probe that stands still or jumps says something only of
   * a tray that is `sown`. `rootZoneMaxC` is the profile's, or null.
   */
  tick(readings: Readings, sown: boolean, rootZoneMaxC: number | null): readonly Finding[] {
    const { rootZone, mat } = readings;
    const { state, code, celsius } = rootZone;
    // The limiter reads the same probe: where it stands still, only the root zone tells of a hot mat.
    const matFrozen = mat.state === 'frozen' && sown;
    const matFailed = mat.state === 'open' || mat.state === 'short' || matFrozen;
    const limitC = Math.min(rootZoneMaxC ?? LIMITS.rootZoneHotC, LIMITS.rootZoneHotC);
    this.#rootHot = celsius > limitC - (this.#rootHot ? LIMITS.hotHysteresisK : 0);
    this.#matHot = mat.celsius > LIMITS.matHotC - (this.#matHot ? LIMITS.hotHysteresisK : 0);
    const findings = [
      condition('probe-open', state === 'open', code, LIMITER.openCode),
      condition('probe-short', state === 'short', code, LIMITER.shortCode),
      condition('probe-frozen', state === 'frozen' && sown, celsius, 0),
      condition('mat-probe-failed', matFailed, mat.code, LIMITER.openCode),
      condition('root-zone-hot', this.#rootHot, celsius, limitC),
      condition('mat-hot', this.#matHot, mat.celsius, LIMITS.matHotC),
    ];
    if (state === 'jumped' && sown) findings.push(happened('probe-jumped', celsius, 0));
    return findings;
  }
}
