/** Whether what an alarm says was really so on the bench: an alarm for which nothing was wrong is a nuisance. */
import type { AlarmName } from '../../../shared/alarms/catalogue';
import { LID_PLACES } from '../../../shared/profile/profile';
import type { Look } from './watcher';

/** A probe is true to this, K, and a dry-back by weight to so much. */
const PROBE_K = 0.4;
const WEIGHED_SHARE = 0.02;
/** The board says it when the root zone is so far outside its band. */
const OUTSIDE_K = 2;
/** An account of doses is true to a few of them, ml. */
const ACCOUNT_ML = 400;
/** Feed that differs by more is another feed, mS/cm. */
const OTHER_EC = 0.1;

/** `limit`: what the alarm's value was held against. */
type Wrong = (look: Look, limit: number) => boolean;

/** Rank among the places, the closed lid first. */
const PLACES: readonly string[] = LID_PLACES;
const openness = (lid: string): number => PLACES.indexOf(lid);
const isLidOpener: Wrong = ({ truth, lidWanted }) => openness(truth.lid) > openness(lidWanted);

/** On a tray without a fault nothing makes the alarm right. */
const never: Wrong = () => false;

/** The pump has nothing left to give. */
export const isEmpty = ({ truth }: Look): boolean => truth.pump.reservoirMl < 1;

/** What has to be so, by alarm. */
const WRONG: Readonly<Record<AlarmName, Wrong>> = {
  'too-warm': ({ truth, bandHighC }) => truth.rootZoneC > bandHighC + OUTSIDE_K - PROBE_K,
  'too-cold': ({ truth, bandLowC }) => truth.rootZoneC < bandLowC - OUTSIDE_K + PROBE_K,
  'band-out-of-reach': ({ truth, bandLowC }) => truth.rootZoneC < bandLowC,
  'mat-no-effect': ({ truth, bandLowC }) => truth.rootZoneC < bandLowC - OUTSIDE_K + PROBE_K,
  'too-dry': ({ truth, rescueShare }) => truth.tray.dryBackShare > rescueShare - WEIGHED_SHARE,
  'drying-fast': isLidOpener,
  'reservoir-low': ({ truth, reservoirLowMl }) =>
    truth.pump.reservoirMl < reservoirLowMl + ACCOUNT_ML,
  'dose-not-seen': isEmpty,
  'feed-unlike': ({ truth }, limit) => Math.abs(truth.feed.reservoirMs - limit) > OTHER_EC,
  'feed-late': ({ opened }) => !opened,
  'tray-away': ({ truth }) => !truth.tray.onScale,
  'probe-open': never,
  'probe-short': never,
  'probe-frozen': never,
  'probe-jumped': never,
  'mat-probe-failed': never,
  'root-zone-hot': never,
  'mat-hot': never,
  'probe-suspect': never,
  'mat-stuck-on': never,
  'scale-silent': never,
  'scale-saturated': never,
  'scale-noisy': never,
  'dose-too-large': never,
  'weight-rising': never,
  'weight-falling': never,
  'day-cap-reached': never,
  'stage-cap-reached': never,
  'profile-missing': never,
  'calibration-missing': never,
  'calibration-old': never,
  'restarting-often': never,
  'storage-failing': never,
  'pump-stuck-on': never,
  'thing-on-tray': never,
  'water-held': never,
  'drying-stopped': never,
  'pump-off': never,
  'supply-wrong': never,
  'settings-lost': never,
  'mat-open': never,
};

/** Whether `alarm` was right at this look. */
export function isWrong(alarm: AlarmName, look: Look, limit: number): boolean {
  return WRONG[alarm](look, limit);
}

/** K outside the band that is in force, below 0 inside. */
export function beyondBandK({ truth, bandLowC, bandHighC }: Look): number {
  return Math.max(bandLowC - truth.rootZoneC, truth.rootZoneC - bandHighC);
}

/** Wool drier than the stage's rescue share, by more than a scale may be off. */
export function isTooDry({ truth, rescueShare }: Look): boolean {
  return truth.tray.dryBackShare > rescueShare + WEIGHED_SHARE;
}
