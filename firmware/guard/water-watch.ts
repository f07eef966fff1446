/** Caps, reservoir, dryness, and what dosing cannot do without. */
import { HELD_REASONS, type HeldReason } from '../../shared/link/held';
import { type Profile, type Stage, waters } from '../../shared/profile/profile';
import { fullCaps, type GivenMl } from '../control/caps';
import { isPumpOff, type PumpTrim } from '../control/pump-trim';
import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';

/** Unix ms of a calibration and of now, NaN or 0 while unknown. */
export interface CalibrationAges {
  readonly nowUnixMs: number;
  /** Null while there is no calibration. */
  readonly pumpUnixMs: number | null;
  readonly scaleUnixMs: number | null;
}

export interface WaterFacts {
  readonly profile: Profile | null;
  readonly profileId: number;
  readonly stage: Stage | null;
  readonly sown: boolean;
  readonly given: GivenMl;
  /** What a millilitre counts as in the caps: see `countsAs`. */
  readonly mlCountsAs: number;
  /** Left in the reservoir, ml; null while nobody has said what is in it. */
  readonly leftMl: number | null;
  /** It holds other feed than the stage wants; of this EC, mS/cm at 25 C. */
  readonly otherFeed: boolean;
  readonly feedEc: number;
  /** A watering cycle is under way; and a dose. */
  readonly cycling: boolean;
  readonly dosing: boolean;
  readonly capacityKnown: boolean;
  /** What holds water off without being an alarm of its own; and run time of the stage, ms. */
  readonly heldFor: HeldReason | null;
  /** For how long something had held it off before the restart, ms; Infinity where that was an alarm. */
  readonly heldBeforeMs: number;
  readonly stageRunMs: number;
  /** The running stage has had the water it opens with. */
  readonly opened: boolean;
  readonly calibrations: CalibrationAges;
  /** What the proved doses say of the pump. */
  readonly pump: PumpTrim;
}

/** Watches what was given, and what is missing. */
export class WaterWatch {
  /** For how long the tray has been too dry, ms; and whether that is an alarm. */
  #dryMs = 0;
  #tooDry = false;
  #dayFull = false;
  #stageFull = false;
  /** For how long water has been held off, ms; NaN until the first minute. */
  #heldMs = Number.NaN;
  #lackingMs = 0;
  #pumpOff = false;

  /** For how long something has held water off that is no alarm of its own, ms: it counts on over a restart. */
  get heldMs(): number {
    return this.#heldMs;
  }

  /** Once a minute; `dtMs` since the last. */
  minute(readings: Readings, facts: WaterFacts, dtMs: number): readonly Finding[] {
    return [
      ...this.#judgeCaps(facts),
      ...judgeReservoir(facts),
      ...this.#judgeDryness(facts.stage, readings.dryBackShare, dtMs),
      ...this.#judgeMeans(facts, dtMs),
      ...this.#judgeHolds(facts, dtMs),
      this.#judgePump(facts.pump),
    ];
  }

  /** The alarms go when the window has passed or the stage is another. */
  #judgeCaps({ stage, given, mlCountsAs, cycling, dosing }: WaterFacts): Finding[] {
    // A dose under way was within the caps when it was charged, and is part of the account now.
    if (dosing) return [];
    const watering = stage?.watering ?? null;
    const full =
      watering === null
        ? { day: false, stage: false }
        : fullCaps(watering.doseMl * mlCountsAs, watering, given);
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

  /** What dosing cannot do without. In a hold it is not needed yet, but no crop can wait for it for days. */
  #judgeMeans(facts: WaterFacts, dtMs: number): Finding[] {
    const { stage, sown, profile } = facts;
    const { pumpUnixMs, scaleUnixMs } = facts.calibrations;
    const lacking = pumpUnixMs === null || scaleUnixMs === null || !facts.capacityKnown;
    this.#lackingMs = stage !== null && lacking ? this.#lackingMs + dtMs : 0;
    const waitMs = waters(stage) ? LIMITS.weightsDrainMs : LIMITS.weightsUnknownMs;
    return [
      condition('profile-missing', sown && profile === null, facts.profileId, 0),
      condition('calibration-missing', this.#lackingMs > waitMs),
      condition('calibration-old', isOld(facts.calibrations)),
    ];
  }

  /** Said while doses are still seen: later it is a dose that is not. */
  #judgePump(pump: PumpTrim): Finding {
    this.#pumpOff = isPumpOff(pump, this.#pumpOff);
    return condition('pump-off', this.#pumpOff, pump.share, 1);
  }

  /** No silent end of watering: what holds it off for longer than a crop bears is said. */
  #judgeHolds(facts: WaterFacts, dtMs: number): Finding[] {
    const { stage, heldFor, heldBeforeMs, stageRunMs, opened, otherFeed, feedEc } = facts;
    const isWatered = waters(stage);
    if (Number.isNaN(this.#heldMs)) {
      this.#heldMs = Math.min(heldBeforeMs, LIMITS.waterHeldMs - LIMITS.heldAgainMs);
    }
    const isHeld = isWatered && heldFor !== null;
    this.#heldMs = isHeld ? this.#heldMs + dtMs : 0;
    const reason = isHeld ? HELD_REASONS.indexOf(heldFor) : Number.NaN;
    const byMs = (stage?.opening?.byS ?? Number.POSITIVE_INFINITY) * 1000;
    return [
      condition('water-held', this.#heldMs >= LIMITS.waterHeldMs, reason),
      condition('feed-late', isWatered && !opened && stageRunMs > byMs + LIMITS.feedLateMs),
      condition('feed-unlike', isWatered && otherFeed, feedEc, stage?.feedEc),
    ];
  }
}

/** Calibrations that have served their time. */
function isOld({ nowUnixMs, scaleUnixMs }: CalibrationAges): boolean {
  return (
    scaleUnixMs !== null &&
    scaleUnixMs > 0 &&
    nowUnixMs - scaleUnixMs > LIMITS.scaleCalibrationMaxMs
  );
}

function judgeReservoir({ profile, stage, leftMl }: WaterFacts): Finding[] {
  if (profile === null || leftMl === null) return [condition('reservoir-low', false)];
  const lowMl = Math.max(
    profile.reservoirMl * LIMITS.reservoirLowShare,
    LIMITS.reservoirLowDoses * (stage?.watering?.doseMl ?? 0),
  );
  return [condition('reservoir-low', leftMl < lowMl, leftMl, lowMl)];
}
