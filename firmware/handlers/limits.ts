import { WEIGHT_LIMITS } from '../limits';

/** What the board believes of a calibration, whatever the laptop says. */
export const CALIBRATION_LIMITS = {
  /** 1 mV/V on 100 kg at gain 128 gives 21 counts per gram, 2 mV/V on 1 kg 4295; with room around. */
  countsPerGMin: 10,
  countsPerGMax: 20_000,
  /** A zero further off than this share of the cell is a thing left on the scale, not drift. */
  zeroShiftMaxShare: 0.05,
  /** Spans of one cell differ by less, even where a weight was stated wrongly; more is another cell. */
  sameCellSpanShare: 0.2,
  probeOffsetMaxK: 2,
  /** Peristaltic dosing pumps: 1.6 to 6.4 mm tube. */
  mlPerSMin: 0.02,
  mlPerSMax: 20,
} as const;

/** What the board believes of a weight the grower states, g. */
export const MARK_LIMITS = {
  trayMinG: 20,
  trayMaxG: 100_000,
  /** A profile's wool may be that much heavier than the wool at hand, as a share. */
  woolShare: 0.85,
  /** Tray, matting and manifold beside the wool, g, and as a share of the wool's water: more is water. */
  trayOwnG: 1_500,
  moistShare: 0.15,
  /** Water at container capacity against what the profile's medium holds: the share depends on height. */
  capacityMostShare: 1.35,
  /** A tray that weighs less of wool and water than this share of what the profile says is not soaked, or lacks pieces. */
  capacityLeastShare: 0.85,
  /** A tray that lost or gained more than so much in ten minutes drains still, or water is drawn from it or runs in, g. */
  movesMostG: WEIGHT_LIMITS.fallingG,
  /** Container capacity must exceed the dry weight by this: less is the same tray twice. */
  waterMinG: 20,
} as const;
