/** Guard, rows eight to eleven: caps, reservoir, dryness, and what dosing cannot do without. */
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray/tray';

/** A stage without watering reaches none. */
const NO_CAPS = {
  doseMl: 0,
  maxDayMl: Number.POSITIVE_INFINITY,
  maxStageMl: Number.POSITIVE_INFINITY,
};

/** Watches what was given, and what is missing. */
export class WaterWatch {
  /** For how long the tray has been too dry, ms. */
  #dryMs = 0;

  constructor(readonly tray: Tray) {}

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
    const { doseMl, maxDayMl, maxStageMl } = stage?.watering ?? NO_CAPS;
    const dayFull = run.dayMl + doseMl > maxDayMl;
    const stageFull = run.stageMl + doseMl > maxStageMl;
    const wanted =
      cycling ||
      alarms.record('day-cap-reached').present ||
      alarms.record('stage-cap-reached').present;
    alarms.set('day-cap-reached', wanted && dayFull, uptimeMs, run.dayMl, maxDayMl);
    alarms.set('stage-cap-reached', wanted && stageFull, uptimeMs, run.stageMl, maxStageMl);
  }

  #judgeReservoir(uptimeMs: number): void {
    const { alarms, profile, run, stage } = this.tray;
    if (profile === null) return;
    const leftMl = profile.reservoirMl - run.usedMl;
    const lowMl = Math.max(
      profile.reservoirMl * LIMITS.reservoirLowShare,
      2 * (stage?.watering?.doseMl ?? 0),
    );
    alarms.set('reservoir-low', leftMl < lowMl, uptimeMs, leftMl, lowMl);
  }

  #judgeDryness(uptimeMs: number, dtMs: number): void {
    const { alarms, stage, dryBackShare } = this.tray;
    if (stage === null || Number.isNaN(dryBackShare)) {
      this.#dryMs = 0;
      if (stage === null) alarms.set('too-dry', false, uptimeMs, dryBackShare, 0);
      return;
    }
    const limit = stage.rescue.share;
    const backAt = alarms.record('too-dry').present ? limit - LIMITS.tooDryHysteresisShare : limit;
    this.#dryMs = dryBackShare >= backAt ? this.#dryMs + dtMs : 0;
    const dry = alarms.record('too-dry').present ? this.#dryMs > 0 : this.#dryMs >= LIMITS.tooDryMs;
    alarms.set('too-dry', dry, uptimeMs, dryBackShare, limit);
  }

  /** What dosing cannot do without; and calibrations that have served their time. */
  #judgeMeans(uptimeMs: number): void {
    const { alarms, stage, run, pump, scale, unixMs, sown, profile } = this.tray;
    alarms.set('profile-missing', sown && profile === null, uptimeMs, run.profileId, 0);
    const needed = stage?.kind === 'weigh';
    const lacking = pump === null || scale.calibration === null || Number.isNaN(run.capacityG);
    alarms.set('calibration-missing', needed && lacking, uptimeMs, Number.NaN, Number.NaN);

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
    alarms.set('calibration-old', pumpOld || scaleOld, uptimeMs, Number.NaN, Number.NaN);
  }
}
