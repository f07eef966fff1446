/** Whether a dose reaches every piece: what each way of spreading it needs. Pure. */
import type { Spread } from './profile';

/** Every figure is common practice; none was found published for so small a tray. */
export const SPREAD_NEEDS = {
  /** Matting carries water sideways only while it is wet: a dose wets at least half of what it holds. */
  mattingShare: 0.5,
  /** A flood shallower than this leaves the high end of a tray dry that is a few millimetres off level. */
  floodMm: 3,
  /** Of less the holes nearest the tube get most: the manifold must fill before the far ones run. */
  outletMl: 2,
} as const;

/** The smallest dose, ml, that reaches every piece. */
export function spreadNeedMl({ by, areaM2, holdsMl, outlets }: Spread): number {
  switch (by) {
    case 'capillary-matting':
      return holdsMl * SPREAD_NEEDS.mattingShare;
    case 'drilled-manifold':
      return outlets * SPREAD_NEEDS.outletMl;
    case 'channels':
      return areaM2 * 1000 * SPREAD_NEEDS.floodMm;
  }
}
