/** Caps, reservoir, dryness, and what dosing cannot do without. */
import type { Profile, Stage } from '../../shared/profile/profile';
import { fullCaps, type GivenMl } from '../control/caps';
import { GUARD_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';

/** Unix ms of a calibration and of now, NaN or 0 while unknown; and how much the pump has run since. */
export interface CalibrationAges {
  readonly nowUnixMs: number;
  /** Null while there is no calibration. */
  readonly pumpUnixMs: number | null;
  readonly scaleUnixMs: number | null;
  readonly pumpRunMs: number;
}

export interface WaterFacts {
  readonly profile: Profile | null;
  readonly profileId: number;
  readonly stage: Stage | null;
  readonly sown: boolean;
  readonly given: GivenMl;
  /** Out of the reservoir since it was filled, ml. */
  readonly usedMl: number;
  /** A watering cycle is under way; and a dose. */
  readonly cycling: boolean;
  readonly dosing: boolean;
  readonly capacityKnown: boolean;
  readonly calibrations: CalibrationAges;
}

/** Watches what was given, and what is missing. */
export class WaterWatch {
  /** For how long the tray has been too dry, ms; and whether that is an alarm. */
  #dryMs = 0;
  #tooDry = false;
  #dayFull = false;
  #stageFull = false;

  /** Once a minute; `dtMs` since the last. */
  minute(readings: Readings, facts: WaterFacts, dtMs: number): readonly Finding[] {
    return [
      ...this.#judgeCaps(facts),
      ...judgeReservoir(facts),
      ...this.#judgeDryness(facts.stage, readings.dryBackShare, dtMs),
      ...judgeMeans(facts),
    ];
  }

  /** The alarms go when the window has passed or the stage is another. */
  #judgeCaps({ stage, given, cycling, dosing }: WaterFacts): Finding[] {
    // A dose under way was within the caps when it was charged, and is part of the account now.
    if (dosing) return [];
    const watering = stage?.watering ?? null;
    const full =
      watering === null ? { day: false, stage: false } : fullCaps(watering.doseMl, watering, given);
    const wanted = cycling || this.#dayFull || this.#stageFull;
    this.#dayFull = wanted && full.day;
    this.#stageFull = wanted && full.stage;
    return [
      condition('day-cap-reached', this.#dayFull, given.dayMl, watering?.maxDayMl),
      condition('stage-cap-reached', this.#stageFull, given.stageMl, watering?.maxStageMl),
    ];
  }

  #judgeDryness(stage: Stage | null, dryBackShare: number, dtMs: number): Finding[] {
    if (stage === null || Number.isNaN(dryBackShare)) {
      this.#dryMs = 0;
      // Of a tray in doubt nothing is known; one that is not sown is not dry.
      if (stage !== null) return [];
      this.#tooDry = false;
      return [condition('too-dry', false)];
    }
    const limit = stage.rescue.share;
    const backAt = this.#tooDry ? limit - LIMITS.tooDryHysteresisShare : limit;
    this.#dryMs = dryBackShare >= backAt ? this.#dryMs + dtMs : 0;
    this.#tooDry = this.#tooDry ? this.#dryMs > 0 : this.#dryMs >= LIMITS.tooDryMs;
    return [condition('too-dry', this.#tooDry, dryBackShare, limit)];
  }
}

function judgeReservoir({ profile, stage, usedMl }: WaterFacts): Finding[] {
  if (profile === null) return [];
  const leftMl = profile.reservoirMl - usedMl;
  const lowMl = Math.max(
    profile.reservoirMl * LIMITS.reservoirLowShare,
    2 * (stage?.watering?.doseMl ?? 0),
  );
  return [condition('reservoir-low', leftMl < lowMl, leftMl, lowMl)];
}

/** What dosing cannot do without; and calibrations that have served their time. */
function judgeMeans(facts: WaterFacts): Finding[] {
  const { stage, sown, profile, profileId, capacityKnown, calibrations } = facts;
  const { nowUnixMs, pumpUnixMs, scaleUnixMs, pumpRunMs } = calibrations;
  const lacking = pumpUnixMs === null || scaleUnixMs === null || !capacityKnown;
  const olderThan = (calibratedMs: number | null, limitMs: number) =>
    calibratedMs !== null && calibratedMs > 0 && nowUnixMs - calibratedMs > limitMs;
  const old =
    (pumpUnixMs !== null && pumpRunMs > LIMITS.pumpCalibrationMaxRunMs) ||
    olderThan(pumpUnixMs, LIMITS.pumpCalibrationMaxMs) ||
    olderThan(scaleUnixMs, LIMITS.scaleCalibrationMaxMs);
  return [
    condition('profile-missing', sown && profile === null, profileId, 0),
    condition('calibration-missing', stage?.kind === 'weigh' && lacking),
    condition('calibration-old', old),
  ];
}
