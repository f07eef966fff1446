/**
 * What a profile image carries, value by value, in its order on the flash, with the range of each.
 * This table is the format: a change to it needs a new `IMAGE_VERSION`, and what is new in it stands in
 * `since`, so that older images are still read. Ranges may change freely.
 */
import { type Field, list, number, optional, record, since, text, word } from './fields';
import { PROFILE_LIMITS as LIMITS } from './limits';
import {
  type Band,
  type DayWindow,
  LID_PLACES,
  MARKS,
  type Medium,
  type Opening,
  type Profile,
  type Rescue,
  SPREAD_WAYS,
  type Spread,
  STAGE_KINDS,
  type Stage,
  type StageEnd,
  type Watering,
} from './profile';

const celsius = (min: number, max: number) => number(2, 100, min, max);
const share = (min: number, max: number) => number(2, 1000, min, max);
const deciMl = (min: number, max: number) => number(2, 10, min, max);
const wholeMl = (max: number) => number(4, 1, LIMITS.doseMinMl, max);
const seconds = (min: number, max: number) => number(4, 1, min, max);

const bandEdge = celsius(LIMITS.bandLowMinC, LIMITS.bandHighMaxC);
const band = record<Band>({ lowC: bandEdge, highC: bandEdge });

const dayMinute = number(2, 1, 0, 1439);
const dayWindow = record<DayWindow>({ startMin: dayMinute, endMin: dayMinute });

const medium = record<Medium>({
  name: text(LIMITS.nameBytesMax),
  pieces: number(2, 1, 1, LIMITS.piecesMax),
  pieceMl: number(4, 100, LIMITS.pieceMlMin, LIMITS.pieceMlMax),
  bulkDensityKgM3: number(2, 10, LIMITS.bulkDensityMinKgM3, LIMITS.bulkDensityMaxKgM3),
  capacityShare: share(LIMITS.capacityShareMin, LIMITS.capacityShareMax),
});

const watering = record<Watering>({
  startShare: share(LIMITS.shareGapMin, LIMITS.startShareMax),
  stopShare: share(0, LIMITS.startShareMax),
  doseMl: deciMl(LIMITS.doseMinMl, LIMITS.doseMaxMl),
  soakInS: seconds(LIMITS.soakInMinS, LIMITS.soakInMaxS),
  maxDayMl: wholeMl(LIMITS.dayMaxMl),
  maxStageMl: wholeMl(LIMITS.stageMaxMl),
});

const opening = record<Opening>({
  byS: seconds(0, LIMITS.firstFeedMaxS),
  stopShare: share(0, LIMITS.startShareMax),
});

const spread = record<Spread>({
  by: word(SPREAD_WAYS),
  areaM2: number(2, 10_000, LIMITS.spreadAreaMinM2, LIMITS.spreadAreaMaxM2),
  dryG: number(2, 1, 0, LIMITS.spreadDryMaxG),
  holdsMl: number(2, 1, 0, LIMITS.spreadHoldsMaxMl),
  outlets: number(2, 1, 0, LIMITS.piecesMax),
});

const rescue = record<Rescue>({
  share: share(LIMITS.shareGapMin, LIMITS.rescueShareMax),
  // 0: alarm only. Between 0 and the smallest dose is for `rules.ts`.
  doseMl: deciMl(0, LIMITS.doseMaxMl),
});

const stageEnd = record<StageEnd>({
  afterS: seconds(0, LIMITS.stageMaxS),
  mark: optional(word(MARKS)),
});

const stage = record<Stage>({
  name: text(LIMITS.nameBytesMax),
  kind: word(STAGE_KINDS),
  band,
  nightBand: optional(band),
  watering: optional(watering),
  opening: since(2, optional(opening), null),
  rescue,
  end: stageEnd,
  lid: word(LID_PLACES),
  medium: number(1, 1, 0, LIMITS.mediaMax - 1),
  feedEc: number(2, 100, 0, LIMITS.feedEcMax),
});

/** The whole profile. */
export const PROFILE_LAYOUT: Field<Profile> = record<Profile>({
  crop: text(LIMITS.cropBytesMax),
  title: text(LIMITS.titleBytesMax),
  rootZoneMaxC: celsius(LIMITS.bandLowMinC, LIMITS.rootZoneMaxC),
  reservoirMl: wholeMl(LIMITS.reservoirMaxMl),
  spread: since(2, optional(spread), null),
  night: optional(dayWindow),
  quiet: optional(dayWindow),
  // The time zones in use on Earth.
  utcOffsetMin: number(2, 1, -720, 840),
  media: list(medium, LIMITS.mediaMax),
  stages: list(stage, LIMITS.stagesMax),
});
