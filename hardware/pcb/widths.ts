/** How wide copper must be for its current, and how far from other copper. */

/** What the boards are ordered with: 35 µm is "1 oz". */
export const COPPER_UM = 35;

/** How much warmer than the board a track may get at its fuse's rating. */
const RISE_K = 20;

/**
 * Width, mm, of a track on an outer layer that warms by 20 K at `currentA`: IPC-2221B 6.2, I = 0.048 dT^0.44 A^0.725
 * with the section in square mils.
 */
export function trackMm(currentA: number): number {
  const sectionMil2 = (currentA / (0.048 * RISE_K ** 0.44)) ** (1 / 0.725);
  return (sectionMil2 / (COPPER_UM / 25.4)) * 0.0254;
}

export const COPPER = {
  /** Between nets: four times what IPC-2221B table 6-1 asks for at 30 V (0.1 mm, B2), for soldering by hand. */
  clearanceMm: 0.4,
  /** From the edge of the board and from holes without copper. */
  edgeMm: 0.6,
  /** The thinnest track: any maker's process, and it bears a slip of the iron. */
  signalMm: 0.4,
  /** Supplies are no thinner, though their current would allow it. */
  supplyMm: 0.8,
  viaMm: 1,
  viaDrillMm: 0.5,
} as const;
