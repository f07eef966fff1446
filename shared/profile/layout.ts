/**
 * What a profile image carries, value by value, in its order on the flash, with the range of each.
 * This table is the format: a change to it needs a new `IMAGE_VERSION`. Ranges may change freely.
 */
import { type Field, list, number, optional, type Range, record, text, word } from './fields';
import { PROFILE_LIMITS as LIMITS } from './limits';
import {
  type Band,
  type DayWindow,
  LID_PLACES,
  MARKS,
  type Medium,
  type Profile,
  type Rescue,
  STAGE_KINDS,
  type Stage,
  type StageEnd,
  type Watering,
} from './profile';

const range = (min: number, max: number): Range => ({ min, max });

/** What each kind of value may be; the host's explanations quote these. Units are in the names. */
export const RANGES = {
  bandC: range(LIMITS.bandLowMinC, LIMITS.bandHighMaxC),
  rootZoneMaxC: range(LIMITS.bandLowMinC, LIMITS.rootZoneMaxC),
  reservoirMl: range(LIMITS.doseMinMl, LIMITS.reservoirMaxMl),
  pieces: range(1, LIMITS.piecesMax),
  pieceMl: range(LIMITS.pieceMlMin, LIMITS.pieceMlMax),
  bulkDensityKgM3: range(LIMITS.bulkDensityMinKgM3, LIMITS.bulkDensityMaxKgM3),
  capacityShare: range(LIMITS.capacityShareMin, LIMITS.capacityShareMax),
  startShare: range(LIMITS.shareGapMin, LIMITS.startShareMax),
  stopShare: range(0, LIMITS.startShareMax),
  rescueShare: range(LIMITS.shareGapMin, LIMITS.rescueShareMax),
  doseMl: range(LIMITS.doseMinMl, LIMITS.doseMaxMl),
  /** 0: alarm only. Between 0 and the smallest dose is for `rules.ts`. */
  rescueDoseMl: range(0, LIMITS.doseMaxMl),
  soakInS: range(LIMITS.soakInMinS, LIMITS.soakInMaxS),
  maxDayMl: range(LIMITS.doseMinMl, LIMITS.dayMaxMl),
  maxStageMl: range(LIMITS.doseMinMl, LIMITS.stageMaxMl),
  afterS: range(0, LIMITS.stageMaxS),
  feedEc: range(0, LIMITS.feedEcMax),
  dayMin: range(0, 1439),
  /** The time zones in use on Earth. */
  utcOffsetMin: range(-720, 840),
  medium: range(0, LIMITS.mediaMax - 1),
} as const;

const celsius = (of: Range) => number(2, 100, of);
const share = (of: Range) => number(2, 1000, of);
const deciMl = (of: Range) => number(2, 10, of);
const wholeMl = (of: Range) => number(4, 1, of);
const seconds = (of: Range) => number(4, 1, of);

const band = record<Band>({ lowC: celsius(RANGES.bandC), highC: celsius(RANGES.bandC) });

const dayWindow = record<DayWindow>({
  startMin: number(2, 1, RANGES.dayMin),
  endMin: number(2, 1, RANGES.dayMin),
});

const medium = record<Medium>({
  name: text(LIMITS.nameBytesMax),
  pieces: number(2, 1, RANGES.pieces),
  pieceMl: number(4, 100, RANGES.pieceMl),
  bulkDensityKgM3: number(2, 10, RANGES.bulkDensityKgM3),
  capacityShare: share(RANGES.capacityShare),
});

const watering = record<Watering>({
  startShare: share(RANGES.startShare),
  stopShare: share(RANGES.stopShare),
  doseMl: deciMl(RANGES.doseMl),
  soakInS: seconds(RANGES.soakInS),
  maxDayMl: wholeMl(RANGES.maxDayMl),
  maxStageMl: wholeMl(RANGES.maxStageMl),
});

const rescue = record<Rescue>({
  share: share(RANGES.rescueShare),
  doseMl: deciMl(RANGES.rescueDoseMl),
});

const stageEnd = record<StageEnd>({
  afterS: seconds(RANGES.afterS),
  mark: optional(word(MARKS)),
});

const stage = record<Stage>({
  name: text(LIMITS.nameBytesMax),
  kind: word(STAGE_KINDS),
  band,
  nightBand: optional(band),
  watering: optional(watering),
  rescue,
  end: stageEnd,
  lid: word(LID_PLACES),
  medium: number(1, 1, RANGES.medium),
  feedEc: number(2, 100, RANGES.feedEc),
});

export const PROFILE_LAYOUT: Field<Profile> = record<Profile>({
  crop: text(LIMITS.cropBytesMax),
  title: text(LIMITS.titleBytesMax),
  rootZoneMaxC: celsius(RANGES.rootZoneMaxC),
  reservoirMl: wholeMl(RANGES.reservoirMl),
  night: optional(dayWindow),
  quiet: optional(dayWindow),
  utcOffsetMin: number(2, 1, RANGES.utcOffsetMin),
  media: list(medium, LIMITS.mediaMax),
  stages: list(stage, LIMITS.stagesMax),
});
