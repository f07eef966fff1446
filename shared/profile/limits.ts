/**
 * What no profile may exceed. The host explains a breach, the board refuses it again on its own:
 * when loaded, and at every boot.
 */
export const PROFILE_LIMITS = {
  /** No crop germinates better above this (tests/reference: germination temperatures). */
  bandHighMaxC: 35,
  /** A mat cannot cool; lower than this is a typing error. */
  bandLowMinC: 5,
  /** Narrower and sensor noise would switch the mat. */
  bandWidthMinK: 0.3,
  bandWidthMaxK: 6,
  /** The guard's own limit; a profile may only lower it. */
  rootZoneMaxC: 38,
  /** A band's high edge stays this far below the alarm limit: heat on its way up must not raise it. */
  bandToLimitMinK: 1,
  stagesMax: 16,
  mediaMax: 4,
  piecesMax: 600,
  pieceMlMin: 5,
  pieceMlMax: 20_000,
  bulkDensityMinKgM3: 30,
  bulkDensityMaxKgM3: 150,
  capacityShareMin: 0.5,
  capacityShareMax: 0.97,
  /** Start of watering: past it the wool re-wets badly (common practice: hard stop 60 %). */
  startShareMax: 0.6,
  /** Start and stop must differ by this share, or each dose would end the need it came from. */
  shareGapMin: 0.02,
  /**
   * From emergence to the first feed: seed feeds its seedling for about a week, and the first leaves
   * yellow on plain water after it (common practice).
   */
  firstFeedMaxS: 7 * 86_400,
  rescueShareMax: 0.7,
  doseMinMl: 2,
  doseMaxMl: 700,
  dayMaxMl: 5_000,
  stageMaxMl: 60_000,
  soakInMinS: 60,
  soakInMaxS: 3_600,
  /** A tray of a single block, and the largest under one lid. */
  spreadAreaMinM2: 0.01,
  spreadAreaMaxM2: 2,
  spreadDryMaxG: 2_000,
  spreadHoldsMaxMl: 5_000,
  /** The drip tray must catch all of it. */
  reservoirMaxMl: 20_000,
  stageMaxS: 180 * 86_400,
  feedEcMax: 4,
  /** Never above EC 1.0 around transplanting (common practice). */
  feedEcTransplantMax: 1,
  /** After transplanting the roots are left alone at least this long unless the profile states otherwise. */
  transplantHoldMinS: 3 * 86_400,
  /** And never less than this, whatever it states: the first new roots take about a day. */
  transplantHoldStatedMinS: 86_400,
  cropBytesMax: 24,
  titleBytesMax: 64,
  nameBytesMax: 24,
} as const;
