/** Guard, rows one and two: probes that lie, and a root zone or a mat that is too hot. */
import { LIMITER } from '../../shared/board/map';
import { OUTPUT } from '../board';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray';

/** The limiter judges single readings, the guard their mean: hot ones are not further from it than this. */
const NEAR_CODES = 100;

/**
 * Whether the limiter can have opened for heat. It opens for a broken wire as well, up to a second
 * before the mean of the readings shows one, and stays open for ten after it is mended.
 */
const isNearLimit = (code: number, hotCode: number): boolean => code < hotCode + NEAR_CODES;

/** Watches both probes. */
export class ProbeWatch {
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
    const rootBackC = alarms.record('root-zone-hot').present
      ? limitC - LIMITS.hotHysteresisK
      : limitC;
    const limited =
      !rootZone.doubtful &&
      (this.tray.outputs & OUTPUT.limiterRootZone) !== 0 &&
      isNearLimit(rootZone.code, LIMITER.rootZoneHotCode);
    const rootHot = rootZone.celsius > rootBackC || limited;
    alarms.set('root-zone-hot', rootHot, uptimeMs, rootZone.celsius, limitC);

    const matBackC = alarms.record('mat-hot').present
      ? LIMITS.matHotC - LIMITS.hotHysteresisK
      : LIMITS.matHotC;
    const matLimited =
      !mat.doubtful &&
      (this.tray.outputs & OUTPUT.limiterMat) !== 0 &&
      isNearLimit(mat.code, LIMITER.matHotCode);
    const matHot = mat.celsius > matBackC || matLimited;
    alarms.set('mat-hot', matHot, uptimeMs, mat.celsius, LIMITS.matHotC);
  }
}
