/** Profiles of every kind that the board accepts. */
import fc from 'fast-check';
import { PROFILE_LIMITS as LIMITS } from '../../shared/profile/limits';
import {
  LID_PLACES,
  type Mark,
  type Medium,
  type Profile,
  SPREAD_WAYS,
  type Spread,
  type Stage,
} from '../../shared/profile/profile';
import { spreadNeedMl } from '../../shared/profile/spread';

const onGrid = (low: number, high: number, scale: number) =>
  fc.integer({ min: Math.ceil(low * scale), max: Math.floor(high * scale) }).map((n) => n / scale);
const text = (maxBytes: number) =>
  fc
    .string({ unit: fc.constantFrom(...'abz ÄéΩ苗-7'), minLength: 1, maxLength: 8 })
    .filter((value) => new TextEncoder().encode(value).length <= maxBytes);
const band = fc
  .tuple(onGrid(LIMITS.bandLowMinC, 30, 100), onGrid(0.31, 3, 100))
  .map(([lowC, widthK]) => ({ lowC, highC: Math.round((lowC + widthK) * 100) / 100 }));
const dayWindow = fc
  .uniqueArray(fc.nat(1_439), { minLength: 2, maxLength: 2 })
  .map(([startMin = 0, endMin = 0]) => ({ startMin, endMin }));
const watering = fc
  .tuple(onGrid(0.05, 0.3, 1000), onGrid(0.32, 0.6, 1000), onGrid(2, 700, 10), fc.nat(3_000))
  .map(([stopShare, startShare, doseMl, moreMl]) => ({
    startShare,
    stopShare,
    doseMl,
    soakInS: 60 + (moreMl % 3_000),
    maxDayMl: Math.ceil(doseMl) + moreMl,
    maxStageMl: Math.ceil(doseMl) + moreMl * 2,
  }));
const opening = fc.record({
  byS: fc.nat(LIMITS.firstFeedMaxS - 86_400),
  stopShare: onGrid(0, 0.3, 1000),
});
const nameOf = (i: number): string => `stage ${i}`;
const stage = (hasNight: boolean, media: number) =>
  fc
    .record({
      band,
      nightBand: hasNight ? fc.option(band) : fc.constant(null),
      watering: fc.option(watering),
      opening: fc.option(opening),
      rescueMl: fc.oneof(fc.constant(0), onGrid(2, 700, 10)),
      afterS: fc.nat(LIMITS.stageMaxS),
      mark: fc.constantFrom<Mark | null>(null, 'emerged', 'vented', 'refilled'),
      lid: fc.constantFrom(...LID_PLACES),
      medium: fc.nat(media - 1),
      feedEc: onGrid(0, LIMITS.feedEcMax, 100),
    })
    .map(({ rescueMl, afterS, mark, ...rest }) => ({
      ...rest,
      opening: rest.watering === null ? null : rest.opening,
      kind: rest.watering === null ? ('hold' as const) : ('weigh' as const),
      rescue: { share: 0.65, doseMl: rest.watering === null ? rescueMl : 0 },
      end: { afterS, mark },
    }));
/** The first stage that waters opens within a week of emergence; nothing before it takes long. */
function fedInTime(stages: readonly Stage[]): Stage[] {
  const emerged = Math.max(
    0,
    stages.findIndex(({ end }) => end.mark === 'emerged'),
  );
  const first = stages.findIndex(({ kind }, i) => i > emerged && kind === 'weigh');
  return stages.map((one, i) => {
    if (i > emerged && i < first) return { ...one, end: { ...one.end, afterS: 60 + i } };
    if (i !== first || one.opening !== null) return one;
    return { ...one, opening: { byS: 2 * 86_400, stopShare: 0.01 } };
  });
}
const spread: fc.Arbitrary<Spread> = fc.record({
  by: fc.constantFrom(...SPREAD_WAYS),
  areaM2: onGrid(LIMITS.spreadAreaMinM2, LIMITS.spreadAreaMaxM2, 10_000),
  dryG: fc.nat(LIMITS.spreadDryMaxG),
  holdsMl: fc.nat(LIMITS.spreadHoldsMaxMl),
  outlets: fc.integer({ min: 1, max: LIMITS.piecesMax }),
});
/** A way to spread that leads every dose of the profile to every piece, or none. */
function reached(profile: Profile): Profile {
  const dosesMl = profile.stages
    .flatMap(({ watering, rescue }) => [watering?.doseMl ?? 0, rescue.doseMl])
    .filter((ml) => ml > 0);
  const fits = profile.spread && spreadNeedMl(profile.spread) <= Math.min(...dosesMl);
  return fits ? profile : { ...profile, spread: null };
}
const medium: fc.Arbitrary<Medium> = fc.record({
  name: text(LIMITS.nameBytesMax),
  pieces: fc.integer({ min: 1, max: LIMITS.piecesMax }),
  pieceMl: onGrid(LIMITS.pieceMlMin, LIMITS.pieceMlMax, 100),
  bulkDensityKgM3: onGrid(LIMITS.bulkDensityMinKgM3, LIMITS.bulkDensityMaxKgM3, 10),
  capacityShare: onGrid(LIMITS.capacityShareMin, LIMITS.capacityShareMax, 1000),
});
/** Any profile that the board accepts, each number on a step of the image. */
export const anyProfile: fc.Arbitrary<Profile> = fc
  .tuple(
    fc.option(dayWindow),
    fc.array(medium, { minLength: 1, maxLength: LIMITS.mediaMax }),
    fc.integer({ min: 1, max: LIMITS.stagesMax }),
  )
  .chain(([night, media, stages]) =>
    fc.record({
      crop: text(LIMITS.cropBytesMax),
      title: text(LIMITS.titleBytesMax),
      rootZoneMaxC: onGrid(34, LIMITS.rootZoneMaxC, 100),
      reservoirMl: fc.integer({ min: 700, max: LIMITS.reservoirMaxMl }),
      night: fc.constant(night),
      quiet: fc.option(dayWindow),
      utcOffsetMin: fc.integer({ min: -720, max: 840 }),
      media: fc.constant(media),
      stages: fc
        .array(stage(night !== null, media.length), { minLength: stages, maxLength: stages })
        .map((list) => fedInTime(list.map((one, i) => ({ ...one, name: nameOf(i) })))),
      spread: fc.option(spread),
    }),
  )
  .map(reached);
