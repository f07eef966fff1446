/** Guard, rows eight to eleven: caps, reservoir, dryness, and what dosing cannot do without. */
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray';
import type { AlarmRecord } from './alarm-bank';

export class WaterWatch {
  readonly #dayCap: AlarmRecord;
  readonly #stageCap: AlarmRecord;
  readonly #reservoir: AlarmRecord;
  readonly #tooDry: AlarmRecord;
  readonly #profile: AlarmRecord;
  readonly #missing: AlarmRecord;
  readonly #old: AlarmRecord;
  #dryMs = 0;

  constructor(readonly tray: Tray) {
    const { alarms } = tray;
    this.#dayCap = alarms.record('day-cap-reached');
    this.#stageCap = alarms.record('stage-cap-reached');
    this.#reservoir = alarms.record('reservoir-low');
    this.#tooDry = alarms.record('too-dry');
    this.#profile = alarms.record('profile-missing');
    this.#missing = alarms.record('calibration-missing');
    this.#old = alarms.record('calibration-old');
  }

  /** Once a minute; `dtMs` since the last. */
  minute(uptimeMs: number, dtMs: number): void {
    this.#judgeCaps(uptimeMs);
    this.#judgeReservoir(uptimeMs);
    this.#judgeDryness(uptimeMs, dtMs);
    this.#judgeMeans(uptimeMs);
  }

  /**
   * A cap counts as reached when the next whole dose would pass it: a part of a dose would make the
   * cap a set-point. The alarm goes when the window has passed or the stage is another.
   */
  #judgeCaps(uptimeMs: number): void {
    const { alarms, stage, run, cycling, water } = this.tray;
    // A dose under way was within the caps when it was charged, and is part of the account now.
    if (water.phase !== 'idle') return;
    const watering = stage?.watering ?? null;
    if (watering === null) {
      alarms.set(this.#dayCap, false, uptimeMs, run.dayMl, 0);
      alarms.set(this.#stageCap, false, uptimeMs, run.stageMl, 0);
      return;
    }
    const dayFull = run.dayMl + watering.doseMl > watering.maxDayMl;
    const stageFull = run.stageMl + watering.doseMl > watering.maxStageMl;
    const wanted = cycling || this.#dayCap.present || this.#stageCap.present;
    alarms.set(this.#dayCap, wanted && dayFull, uptimeMs, run.dayMl, watering.maxDayMl);
    alarms.set(this.#stageCap, wanted && stageFull, uptimeMs, run.stageMl, watering.maxStageMl);
  }

  #judgeReservoir(uptimeMs: number): void {
    const { alarms, profile, run, stage } = this.tray;
    if (profile === null) return;
    const leftMl = profile.reservoirMl - run.usedMl;
    const lowMl = Math.max(
      profile.reservoirMl * LIMITS.reservoirLowShare,
      2 * (stage?.watering?.doseMl ?? 0),
    );
    alarms.set(this.#reservoir, leftMl < lowMl, uptimeMs, leftMl, lowMl);
  }

  #judgeDryness(uptimeMs: number, dtMs: number): void {
    const { alarms, stage, dryBackShare } = this.tray;
    if (stage === null || Number.isNaN(dryBackShare)) {
      this.#dryMs = 0;
      if (stage === null) alarms.set(this.#tooDry, false, uptimeMs, dryBackShare, 0);
      return;
    }
    const limit = stage.rescue.share;
    const backAt = this.#tooDry.present ? limit - LIMITS.tooDryHysteresisShare : limit;
    this.#dryMs = dryBackShare >= backAt ? this.#dryMs + dtMs : 0;
    const dry = this.#tooDry.present ? this.#dryMs > 0 : this.#dryMs >= LIMITS.tooDryMs;
    alarms.set(this.#tooDry, dry, uptimeMs, dryBackShare, limit);
  }

  /** What dosing cannot do without; and calibrations that have served their time. */
  #judgeMeans(uptimeMs: number): void {
    const { alarms, stage, run, pump, scale, unixMs, sown, profile } = this.tray;
    alarms.set(this.#profile, sown && profile === null, uptimeMs, run.profileId, 0);
    const needed = stage?.kind === 'weigh';
    const lacking = pump === null || scale.calibration === null || Number.isNaN(run.capacityG);
    alarms.set(this.#missing, needed && lacking, uptimeMs, Number.NaN, Number.NaN);

    const now = unixMs(uptimeMs);
    const olderThan = (calibratedMs: number, limitMs: number) =>
      calibratedMs > 0 && !Number.isNaN(now) && now - calibratedMs > limitMs;
    const pumpOld =
      pump !== null &&
      (run.pumpRunMs > LIMITS.pumpCalibrationMaxRunMs ||
        olderThan(pump.unixMs, LIMITS.pumpCalibrationMaxMs));
    const scaleOld =
      scale.calibration !== null &&
      olderThan(scale.calibration.unixMs, LIMITS.scaleCalibrationMaxMs);
    alarms.set(this.#old, pumpOld || scaleOld, uptimeMs, Number.NaN, Number.NaN);
  }
}
