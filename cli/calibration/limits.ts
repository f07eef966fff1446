/** What a calibration must meet before it may replace the old one, and why. */

export const SCALE_CALIBRATION_LIMITS = {
  /** Codes in one measurement: half a minute of readings, so that the mean is five times as good. */
  samples: 30,
  /** Scatter of single readings, g. Twice the noise of a draughty room; more means something moves. */
  noiseG: 1,
  /** Ratings of load cells, g: what a tray may stand on. */
  cellMinG: 500,
  cellMaxG: 100_000,
  /** Drift between the halves of one measurement, g: the weight is still being set down, or swings. */
  driftG: 1,
  /** Return to zero, g, plus this share of the cell: creep and hysteresis of common cells. */
  zeroReturnG: 1,
  zeroReturnShare: 0.0003,
  /** Share of the cell that an empty scale may stand at: its platform and the cell's own zero, but no tray. */
  emptyShare: 0.25,
  /** Standard uncertainty, g, wanted at the working weight: dry-back of a 4 kg tray to 0.1 %-point. */
  targetUncertaintyG: 2,
  /** Smallest known weight as a share of the working weight: the line is not drawn further than that. */
  weightShare: 0.25,
  /** A soaked, undrained tray weighs about a fifth more than a drained one; the rest is a hand on it. */
  overloadFactor: 1.25,
  /** Rated output of common cells, mV/V, with a margin; outside, weight or cell was misstated. */
  ratedMvPerVMin: 0.8,
  ratedMvPerVMax: 3.5,
  /** Half-width, as a share of the known weight, that it is trusted to when nobody says better. */
  weightTolerance: 0.0005,
  /** Lightest and heaviest known weight that makes sense for a tray. */
  weightMinG: 50,
  weightMaxG: 100_000,
} as const;

/** A span of the same cell moves by less in its life: more is a weight that was stated wrongly. */
export const SPAN_MOVED_SHARE = 0.02;

export const PUMP_CALIBRATION_LIMITS = {
  runs: 5,
  runS: 10,
  runMinS: 2,
  /** The board runs the pump by hand at most this long at a time. */
  runMaxS: 120,
  /** Least gain of a run, g: below, noise of the scale alone scatters the runs too much. */
  gainMinG: 0.5,
  /** Scatter of the runs, %: above, doses cannot be told from air in the tube. */
  cvPercentMax: 10,
  /** Scatter against the calibration in use, % points: more is air in the tube or a hand on the scale. */
  cvWorsePercent: 2,
  /** Codes in each weighing. */
  samples: 10,
  /** Seconds for drops to fall and the tray to come to rest after a run. */
  settleS: 5,
} as const;

export const PROBE_CALIBRATION_LIMITS = {
  /** Readings averaged. */
  readings: 10,
  everyMs: 1_000,
  /** Scatter of the readings, K: above, the probe has not settled in the bath. */
  spreadK: 0.1,
  /** A good 10 k probe is within 0.5 K; more than this is a wrong reference or a broken probe. */
  offsetMaxK: 2,
  /** Reference temperatures that make sense, degrees Celsius. */
  referenceMinC: -5,
  referenceMaxC: 60,
  /** Crushed ice in water, stirred (check: 0.0025 C pure, 0.0 C air-saturated). */
  iceC: 0,
} as const;
