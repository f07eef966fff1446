/** Guard, rows one and two: probes that lie, and a root zone or a mat that is too hot. */
import { LIMITER } from '../../shared/board/map';
import { OUTPUT } from '../board';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray';
import type { AlarmRecord } from './alarm-bank';

export class ProbeWatch {
  readonly #open: AlarmRecord;
  readonly #short: AlarmRecord;
  readonly #frozen: AlarmRecord;
  readonly #jumped: AlarmRecord;
  readonly #matProbe: AlarmRecord;
  readonly #rootHot: AlarmRecord;
  readonly #matHot: AlarmRecord;

  constructor(readonly tray: Tray) {
    const { alarms } = tray;
    this.#open = alarms.record('probe-open');
    this.#short = alarms.record('probe-short');
    this.#frozen = alarms.record('probe-frozen');
    this.#jumped = alarms.record('probe-jumped');
    this.#matProbe = alarms.record('mat-probe-failed');
    this.#rootHot = alarms.record('root-zone-hot');
    this.#matHot = alarms.record('mat-hot');
  }

  /** Each tick: heat is what can hurt fastest. */
  tick(uptimeMs: number): void {
    const { alarms, rootZone, mat, stage, profile } = this.tray;
    const { state } = rootZone;
    alarms.set(this.#open, state === 'open', uptimeMs, rootZone.code, LIMITER.openCode);
    alarms.set(this.#short, state === 'short', uptimeMs, rootZone.code, LIMITER.shortCode);
    alarms.set(this.#frozen, state === 'frozen' && stage !== null, uptimeMs, rootZone.celsius, 0);
    if (state === 'jumped' && stage !== null) {
      alarms.strike(this.#jumped, uptimeMs, rootZone.celsius, 0);
    }
    const matFailed = mat.state === 'open' || mat.state === 'short';
    alarms.set(this.#matProbe, matFailed, uptimeMs, mat.code, LIMITER.openCode);

    const limitC = Math.min(profile?.rootZoneMaxC ?? LIMITS.rootZoneHotC, LIMITS.rootZoneHotC);
    const rootBackC = this.#rootHot.present ? limitC - LIMITS.hotHysteresisK : limitC;
    // The limiter opens at the first reading of a broken wire too; that is no heat.
    const limited = !rootZone.doubtful && (this.tray.outputs & OUTPUT.limiterRootZone) !== 0;
    const rootHot = rootZone.celsius > rootBackC || limited;
    alarms.set(this.#rootHot, rootHot, uptimeMs, rootZone.celsius, limitC);

    const matBackC = this.#matHot.present ? LIMITS.matHotC - LIMITS.hotHysteresisK : LIMITS.matHotC;
    const matLimited = !matFailed && (this.tray.outputs & OUTPUT.limiterMat) !== 0;
    const matHot = mat.celsius > matBackC || (matLimited && !mat.doubtful);
    alarms.set(this.#matHot, matHot, uptimeMs, mat.celsius, LIMITS.matHotC);
  }
}
