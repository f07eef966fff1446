/** What a grower's mark may say of weights: whether the tray can be dry, or soaked, at what it weighs now. Pure. */

import type { AlarmName } from '../../shared/alarms/catalogue';
import type { RefusalFacts } from '../../shared/link/refusals';
import type { ScaleState } from '../../shared/link/status';
import { capacityWaterMl, dryWoolG, type TrayWeights } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import type { Medium, Profile, Spread } from '../../shared/profile/profile';
import { MARK_LIMITS as LIMITS } from '../limits';

/** What is known of the tray when a mark is made. */
export interface AtMark {
  /** Weight that the grower gives, g; without it the scale's own stands. */
  readonly givenG: number | undefined;
  readonly scale: {
    readonly state: ScaleState;
    readonly stable: boolean;
    readonly grams: number;
    /** What the load cell carries, g; null while nothing is known of it. */
    readonly calibration: { readonly cellG: number } | null;
  };
  /** A hand is at the tray, and matters to it. */
  readonly handled: boolean;
  /** What the tray gained in ten minutes, g; NaN while unknown. */
  readonly gainedLatelyG: number;
  /** Most that it lost in any ten minutes of the last twenty, g. */
  readonly lostMostLatelyG: number;
  /** An alarm that stands and says that water runs in by itself; null when none does. */
  readonly inflowAlarm: AlarmName | null;
  readonly profile: Profile | null;
  /** What stands there now: fewer pieces than the profile has, once some were moved. */
  readonly medium: Medium | null;
}

type MarkReason =
  | 'weight-implausible'
  | 'over-the-cell'
  | 'scale-not-ready'
  | 'scale-unstable'
  | 'scale-empty'
  | 'still-draining'
  | 'still-filling'
  | 'water-runs-in'
  | 'lighter-than-wool'
  | 'not-dry'
  | 'wool-holds-water'
  | 'dry-weight-unknown'
  | 'not-soaked'
  | 'no-water-gained'
  | 'more-than-wool-holds'
  | 'less-than-wool-holds';

/** Why a mark is not taken, and the numbers of it. */
export interface NotTaken<R extends MarkReason = MarkReason> {
  readonly ok: false;
  readonly reason: R;
  readonly facts: RefusalFacts[R];
}

/** A dry weight that can be, g. */
export interface DryTaken {
  readonly ok: true;
  readonly dryG: number;
}

/** A container capacity that can be, and the dry weight that goes with it, g: weighed, or else reckoned from the medium. */
export interface SoakedTaken extends DryTaken {
  readonly capacityG: number;
}

/** A dry weight as it is known so far, g; NaN while nobody knows it. */
export interface KnownDry {
  readonly dryG: number;
  readonly dryWeighed: boolean;
}

function notTaken<R extends MarkReason>(reason: R, ...facts: RefusalFacts[R]): NotTaken<R> {
  return { ok: false, reason, facts };
}

/**
 * The dry weight of the tray, g: not less than the wool alone, nor as much as moist wool; without a profile any is one. `known`
 * are the weights so far of the tray that is sown, null where another may stand there: one that holds water by them is not
 * dry. Against that only a weight that the grower gives is taken.
 */
export function judgeDry(at: AtMark, known: TrayWeights | null): DryTaken | NotTaken {
  const dryG = markedG(at);
  if (typeof dryG !== 'number') return dryG;
  if (at.givenG === undefined && known !== null) {
    const waterG = dryG - known.dryG;
    if (waterG > LIMITS.moistShare * (known.capacityG - known.dryG))
      return notTaken('wool-holds-water', waterG, known.dryG);
  }
  const { profile, medium } = at;
  if (profile === null) return { ok: true, dryG };
  const woolG = Math.min(...[...profile.media, ...(medium ? [medium] : [])].map(dryWoolG));
  if (dryG < woolG * LIMITS.woolShare) return notTaken('lighter-than-wool', dryG, woolG);
  const mostG =
    mostOf(profile, emptyG) + LIMITS.trayOwnG + LIMITS.moistShare * mostOf(profile, holdsG);
  if (dryG > mostG) return notTaken('not-dry', dryG, mostG);
  return { ok: true, dryG };
}

/**
 * Container capacity, g, and the dry weight that goes with it. Of the scale's own weight only where the tray neither loses
 * nor takes in water: one that the grower gives was found elsewhere or before.
 */
export function judgeSoaked(at: AtMark, known: KnownDry): SoakedTaken | NotTaken {
  const capacityG = markedG(at);
  if (typeof capacityG !== 'number') return capacityG;
  const moves = at.givenG === undefined ? judgeMoves(at) : null;
  if (moves !== null) return moves;
  const dryG = known.dryWeighed ? known.dryG : reckonedDryG(at, capacityG);
  if (typeof dryG !== 'number') return dryG;
  if (!(capacityG - dryG >= LIMITS.waterMinG) || !(dryG > 0))
    return notTaken('no-water-gained', capacityG, dryG);
  const mostG = mostOf(at.profile, holdsG) * LIMITS.capacityMostShare;
  if (capacityG - dryG > mostG) return notTaken('more-than-wool-holds', capacityG - dryG, mostG);
  const less = known.dryWeighed ? judgeLeastWater(at, capacityG, dryG) : null;
  if (less !== null) return less;
  return { ok: true, capacityG, dryG };
}

/** Weight to write beside a mark of any kind, g; NaN of an empty scale: a mark is often made with the tray on the table. */
export function seenAtMarkG({ givenG, scale }: Pick<AtMark, 'givenG' | 'scale'>): number {
  return givenG ?? (scale.grams < LIMITS.trayMinG ? Number.NaN : scale.grams);
}

/** The weight a mark stands for, g: given by the grower, or read from a scale that can be trusted now. */
function markedG({ givenG, scale, handled }: AtMark): number | NotTaken {
  if (givenG !== undefined) {
    if (givenG < LIMITS.trayMinG || givenG > LIMITS.trayMaxG)
      return notTaken('weight-implausible', givenG);
    const { calibration } = scale;
    if (calibration !== null && givenG > calibration.cellG)
      return notTaken('over-the-cell', givenG, calibration.cellG);
    return givenG;
  }
  if (scale.state !== 'ok') return notTaken('scale-not-ready', scale.state);
  if (!scale.stable || handled) return notTaken('scale-unstable');
  if (scale.grams < LIMITS.trayMinG) return notTaken('scale-empty');
  return scale.grams;
}

/**
 * What the scale reads of a tray that still loses or takes in water is no container capacity; nor is it where a cloth drew
 * water until minutes ago, for a flood ends by less and less. Where as much runs off as runs in, it stands still for all
 * that: then only the alarm that saw it rise tells.
 */
function judgeMoves({ gainedLatelyG, lostMostLatelyG, inflowAlarm }: AtMark): NotTaken | null {
  if (lostMostLatelyG > LIMITS.movesMostG) return notTaken('still-draining', lostMostLatelyG);
  if (gainedLatelyG > LIMITS.movesMostG) return notTaken('still-filling', gainedLatelyG);
  if (inflowAlarm !== null) return notTaken('water-runs-in', inflowAlarm);
  return null;
}

/** Far less water than the wool holds, as the tray was moist when it was marked dry, or is not soaked; null where it is not. */
function judgeLeastWater(
  { profile, medium }: AtMark,
  capacityG: number,
  dryG: number,
): NotTaken | null {
  if (medium === null) return null;
  const spread = profile?.spread ?? null;
  const fullG = holdsG(medium, spread);
  if (capacityG - dryG >= fullG * LIMITS.waterLeastShare) return null;
  const byProfileG = Math.max(emptyG(medium, spread), capacityG - fullG);
  return notTaken('less-than-wool-holds', capacityG - dryG, fullG, byProfileG);
}

/** Dry weight, g, of a medium and of what lies under it. */
function emptyG(medium: Medium, spread: Spread | null): number {
  return dryWoolG(medium) + (spread?.dryG ?? 0);
}

/** Water, g, that a medium holds at container capacity, and what lies under it with it. */
function holdsG(medium: Medium, spread: Spread | null): number {
  return gFromMl(capacityWaterMl(medium) + (spread?.holdsMl ?? 0));
}

/** The largest that `of` gives for any of the profile's media; infinite without a profile. */
function mostOf(
  profile: Profile | null,
  of: (medium: Medium, spread: Spread | null) => number,
): number {
  if (profile === null) return Number.POSITIVE_INFINITY;
  return Math.max(...profile.media.map((medium) => of(medium, profile.spread)));
}

/** The dry weight that goes with a container capacity, g, by what the medium holds: of no tray too light for it. */
function reckonedDryG({ profile, medium }: AtMark, capacityG: number): number | NotTaken {
  if (medium === null) return notTaken('dry-weight-unknown');
  const spread = profile?.spread ?? null;
  const leastDryG = emptyG(medium, spread);
  // Matting and channels keep water too, but none of it is in a piece.
  const waterG = holdsG(medium, spread);
  const leastG = (leastDryG + waterG) * LIMITS.capacityLeastShare;
  if (capacityG < leastG) return notTaken('not-soaked', capacityG, leastG);
  // Wool that holds less than the profile says weighs no less for it.
  return Math.max(leastDryG, capacityG - waterG);
}
