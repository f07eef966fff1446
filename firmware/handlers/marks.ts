/** Marks: what the grower did at the tray, and what follows for weights, reservoir and stage. */
import type { MarkNote, Params, Result } from '../../shared/link/methods';
import { capacityWaterMl, dryWoolG } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import type { Medium, Profile, Spread } from '../../shared/profile/profile';
import { refuse } from '../link/refusal';
import { reportedStage } from '../tick/staging';
import type { Ticker } from '../tick/ticker';
import { MARK_LIMITS } from './limits';
import { orNull } from './numbers';

/**
 * Takes a mark: what it says of weights and reservoir, then of the stage, and that hands were at the
 * tray. Refuses `no-profile`, `not-sown`, a weight that cannot be (`weightFor`, `markSoaked`), and of the
 * scale's own one of a tray that drains or fills still.
 */
export function markSet(
  ticker: Ticker,
  { mark, trayG, volumeMl, feedEc, pieces }: Params<'mark.set'>,
): Result<'mark.set'> {
  const { tray, senses, weights, watering, staging, guard } = ticker;
  const stateless = mark === 'dry' || mark === 'soaked' || mark === 'refilled';
  if (!stateless && tray.profile === null) refuse('no-profile');
  if (mark !== 'sown' && !stateless && !tray.sown) refuse('not-sown');
  let note: MarkNote | null = null;
  if (mark === 'dry') {
    weights.dryWeighed(possibleDry(ticker, weightFor(ticker, trayG)));
    note = 'dry-taken';
  }
  if (mark === 'soaked') {
    const capacityG = weightFor(ticker, trayG);
    if (trayG === undefined) refuseUnlessStill(ticker);
    note = markSoaked(ticker, capacityG);
  }
  if (mark === 'refilled') {
    watering.refilled(volumeMl ?? tray.profile?.reservoirMl ?? Number.NaN, feedEc ?? Number.NaN);
  }
  const { grams } = senses.scale;
  // A mark is often made with the tray on the table: what an empty scale says is no weight of it.
  const seenG = trayG ?? (grams < MARK_LIMITS.trayMinG ? Number.NaN : grams);
  tray.write({
    kind: 'mark',
    mark,
    stage: tray.run.progress.stage,
    trayG: seenG,
    rootZoneC: senses.rootZone.celsius,
    pieces: pieces ?? 0,
  });
  staging.mark(mark);
  if (mark === 'moved' && pieces !== undefined) staging.moved(pieces);
  if (mark === 'transplanted' || mark === 'moved') {
    weights.forget();
    note = 'weights-forgotten';
  }
  guard.handsWereHere();
  tray.touch();
  return {
    trayG: orNull(seenG),
    dryG: orNull(weights.known.dryG),
    stage: reportedStage(tray.run.progress.stage),
    note,
  };
}

/** The weight a mark stands for: given by the grower, or read from a scale that can be trusted now. */
function weightFor({ tray, senses, weights }: Ticker, givenG: number | undefined): number {
  if (givenG !== undefined) {
    if (givenG < MARK_LIMITS.trayMinG || givenG > MARK_LIMITS.trayMaxG)
      refuse('weight-implausible', givenG);
    const { calibration } = senses.scale;
    if (calibration !== null && givenG > calibration.cellG)
      refuse('over-the-cell', givenG, calibration.cellG);
    return givenG;
  }
  const { scale } = senses;
  if (scale.state !== 'ok') refuse('scale-not-ready', scale.state);
  if (!scale.stable || (weights.handled && tray.sown)) refuse('scale-unstable');
  if (scale.grams < MARK_LIMITS.trayMinG) refuse('scale-empty');
  return scale.grams;
}

/** What the scale reads of a tray that still loses or takes in water is no container capacity. */
function refuseUnlessStill({ weights }: Ticker): void {
  const { gainedLatelyG } = weights;
  if (gainedLatelyG < -MARK_LIMITS.movesMostG) refuse('still-draining', -gainedLatelyG);
  if (gainedLatelyG > MARK_LIMITS.movesMostG) refuse('still-filling', gainedLatelyG);
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

/** A dry weight that can be: not less than the wool alone, nor as much as moist wool. */
function possibleDry({ tray }: Ticker, dryG: number): number {
  const { profile, medium } = tray;
  if (profile === null) return dryG;
  const woolG = Math.min(...[...profile.media, ...(medium ? [medium] : [])].map(dryWoolG));
  if (dryG < woolG * MARK_LIMITS.woolShare) refuse('lighter-than-wool', dryG, woolG);
  const mostG =
    mostOf(profile, dryWoolG) +
    MARK_LIMITS.trayOwnG +
    MARK_LIMITS.moistShare * mostOf(profile, holdsG);
  if (dryG > mostG) refuse('not-dry', dryG, mostG);
  return dryG;
}

/** The dry weight that goes with a container capacity of `capacityG`, by what the medium holds. Refuses a tray too light for it. */
function reckonedDryG(medium: Medium, spread: Spread | null, capacityG: number): number {
  const emptyG = dryWoolG(medium) + (spread?.dryG ?? 0);
  // Matting and channels keep water too, but none of it is in a piece.
  const waterG = holdsG(medium, spread);
  const leastG = (emptyG + waterG) * MARK_LIMITS.capacityLeastShare;
  if (capacityG < leastG) refuse('not-soaked', capacityG, leastG);
  // Wool that holds less than the profile says weighs no less for it.
  return Math.max(emptyG, capacityG - waterG);
}

/** Container capacity, and the dry weight that goes with it: weighed, or reckoned from the medium. */
function markSoaked({ tray, weights }: Ticker, capacityG: number): MarkNote | null {
  const { profile, medium } = tray;
  const { dryWeighed } = weights.known;
  let { dryG } = weights.known;
  if (!dryWeighed) {
    if (medium === null) refuse('dry-weight-unknown');
    dryG = reckonedDryG(medium, profile?.spread ?? null, capacityG);
  }
  if (!(capacityG - dryG >= MARK_LIMITS.waterMinG) || !(dryG > 0))
    refuse('no-water-gained', capacityG, dryG);
  const mostG = mostOf(profile, holdsG) * MARK_LIMITS.capacityMostShare;
  if (capacityG - dryG > mostG) refuse('more-than-wool-holds', capacityG - dryG, mostG);
  weights.soaked(capacityG, dryG);
  tray.write({ kind: 'capacity', capacityG, dryG, dryWeighed });
  return dryWeighed ? null : 'dry-reckoned';
}
