/** Guard, rows one and two: probes that lie, and a root zone or a mat that is too hot. */
import { LIMITER } from '../../shared/board/map';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray/tray';

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

  constructor(readonly tray: Tray) {}

  /** Each tick: heat is what can hurt fastest. */
  tick(uptimeMs: number): void {
    const { alarms, rootZone, mat, stage, profile } = this.tray;
    const { state } = rootZone;
    alarms.set('probe-open', state === 'open', uptimeMs, rootZone.code, LIMITER.openCode);
    alarms.set('probe-short', state === 'short', uptimeMs, rootZone.code, LIMITER.shortCode);
    alarms.set('probe-frozen', state === 'frozen' && stage !== null, uptimeMs, rootZone.celsius, 0);
    if (state === 'jumped' && stage !== null) {
      alarms.strike('probe-jumped', uptimeMs, rootZone.celsius, 0);
    }
    // The limiter reads the same probe: where it stands still, only the root zone tells of a hot mat.
    const matFrozen = mat.state === 'frozen' && stage !== null;
    const matFailed = mat.state === 'open' || mat.state === 'short' || matFrozen;
    alarms.set('mat-probe-failed', matFailed, uptimeMs, mat.code, LIMITER.openCode);

    const limitC = Math.min(profile?.rootZoneMaxC ?? LIMITS.rootZoneHotC, LIMITS.rootZoneHotC);
    const { celsius } = rootZone;
    this.#rootHot = celsius > limitC - (this.#rootHot ? LIMITS.hotHysteresisK : 0);
    alarms.set('root-zone-hot', this.#rootHot, uptimeMs, celsius, limitC);

    this.#matHot = mat.celsius > LIMITS.matHotC - (this.#matHot ? LIMITS.hotHysteresisK : 0);
    alarms.set('mat-hot', this.#matHot, uptimeMs, mat.celsius, LIMITS.matHotC);
  }
}
