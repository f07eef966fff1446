/** What must hold in every run, and for how long it may not: the swarm's only limits. Times in ms of the bench. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';

export const PROMISES = {
  /** The mat never heats a root zone above the profile's maximum for longer; and for longer where its probe lies. */
  heatAboveMaxMs: 2 * MINUTE_MS,
  heatAboveMaxBlindMs: 45 * MINUTE_MS,
  /** Nor, where its probe can tell, one that is already so far above its band. */
  heatAboveBandK: 3,
  heatAboveBandMs: 20 * MINUTE_MS,
  /** The mat rests so long before it heats again, and heats so long unless something happened within the last while. */
  matLeastMs: MINUTE_MS - 1_000,
  matCutShortMs: 15 * MINUTE_MS,
  /** Of the pump, in all, while the tray is off: a lift in the middle of a dose has to be noticed first. */
  pumpWithoutTrayMs: 20_000,
  /** And of the mat, that lies bare then. */
  heatWithoutTrayMs: 2 * MINUTE_MS,
  /**
   * And where the scale could not say so as the tray went, from when it can again: what stands in its place has to stand
   * still for two minutes before it is judged.
   */
  heatWithoutTrayUnseenMs: 4 * MINUTE_MS,
  /** Caps are kept to this, share and ml: the first and last drop of a dose. */
  capSlackShare: 0.02,
  capSlackMl: 3,
  /** Heat after so long in which the root zone was cold, once all is put right. */
  heatBackMs: HOUR_MS,
  /** Water after so long in which the tray was dry: need, settling, soak-in of the dose before, and the hour after one that drained. */
  waterBackMs: 3 * HOUR_MS,
  /**
   * And what stands in the tray's place is the tray, for all a scale can say, if it is lighter than that went by no more than
   * it may have lost meanwhile: at once, to a tub or a cloth; for each hour, to a draught; and at most. As shares of its water.
   */
  trayLostShare: 0.15,
  trayLostSharePerH: 0.03,
  trayLostMostShare: 0.45,
  /** And more where no scale could say so as it went: what a cloth over its rim draws in so long as none could, g/h. */
  trayDrawnGPerH: 900,
  /** And where a cloth was seen to draw as the tray went, or so shortly before: as much on beside the scale. */
  trayDrewMs: 15 * MINUTE_MS,
  /**
   * After a power cut of unknown length the tray may have dried by all of its water; but a root zone so much warmer than the
   * mat, K, is that of a tray beside it, for any two probes.
   */
  besideMatK: 3.5,
  /** What is put on a dry tray may be water if it leaves it no fuller than so much above capacity, as a share of its water. */
  overfullShare: 0.05,
  /** A pump that seems to give less than it is calibrated for has its doses count for so much more in the caps, as a share. */
  pumpSeemsShare: 0.1,
  /** A probe is true to this, K; a dry-back by weight, with the guess of the plants in it, to so much. */
  probeK: 0.7,
  weighedShare: 0.04,
  /** So far outside the band, so long, unless it comes back by so much in an hour. */
  bandBeyondK: 2,
  bandUnsaidMs: 4 * HOUR_MS,
  /**
   * And with the probe out, which then reads a room that may be as warm as the band: all that tells is a mat 10 K warmer,
   * which takes up to six hours of heat, or one warmer than the maximum.
   */
  bandUnsaidBlindMs: 8 * HOUR_MS,
  bandBackK: 0.3,
  /** The band before still counts for so long: a mat cannot cool. */
  bandChangeMs: 8 * HOUR_MS,
  dryUnsaidMs: 4 * HOUR_MS,
  /** After the time by which a stage opens with water: quiet hours and half a day, then it is said. */
  feedUnsaidMs: 16 * HOUR_MS,
  /** A stage ends by time this much before its time at most. */
  stageEarlyMs: 15 * MINUTE_MS,
  /** Journal entries in a day, dense records round alarms among them; and alarms raised, besides some for each happening. */
  entriesADay: 1_500,
  alarmsADay: 12,
  alarmsAHappening: 4,
  /** Entries that one cut of the power may take along. */
  entriesACut: 2,
  /** And that a sector which wears out may: all that it has room for. */
  entriesAWornSector: 127,
} as const;

/** Any of these says that the root zone is not where it should be, or that nobody can know or help. */
export const SAYS_BAND: readonly AlarmName[] = [
  'too-warm',
  'too-cold',
  'band-out-of-reach',
  'mat-no-effect',
  'mat-open',
  'mat-stuck-on',
  'mat-hot',
  'root-zone-hot',
  'probe-open',
  'probe-short',
  'probe-frozen',
  'probe-jumped',
  'probe-suspect',
  'mat-probe-failed',
  'tray-away',
  'restarting-often',
  'profile-missing',
  'settings-lost',
];

/**
 * Any of these says that it is too cold, or that it gets no heat, where its probe can tell. What speaks of too much heat, or
 * of a probe, says it not: it holds the heat off as well, and the root zone cools by that.
 */
export const SAYS_COLD: readonly AlarmName[] = [
  'too-cold',
  'band-out-of-reach',
  'mat-no-effect',
  'mat-open',
  'tray-away',
  'restarting-often',
  'profile-missing',
  'settings-lost',
];

/** And these, that the tray is dry, or that no water comes. */
export const SAYS_DRY: readonly AlarmName[] = [
  'too-dry',
  'dose-not-seen',
  'dose-too-large',
  'weight-rising',
  'weight-falling',
  'scale-silent',
  'scale-saturated',
  'scale-noisy',
  'calibration-missing',
  'water-held',
  'feed-late',
  'day-cap-reached',
  'stage-cap-reached',
  'storage-failing',
  'pump-stuck-on',
  'tray-away',
  'restarting-often',
  'profile-missing',
  'settings-lost',
];

/** With the lid off this says so too: the lid is what its advice asks for, and what ends the drying. */
export const SAYS_DRY_LID_OFF: readonly AlarmName[] = ['drying-fast'];
