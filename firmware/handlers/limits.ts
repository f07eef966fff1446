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
