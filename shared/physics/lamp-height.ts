/**
 * How light changes with the height of a lamp, under its middle. A small lamp is taken as a point, a panel as a
 * rectangle or a disc that shines evenly and in all directions alike (Lambert's law); real ones lie between, and
 * walls that throw light back make it fall off less: measure when it hangs.
 */
import { accept, decline, type Verdict } from './verdict';

/** What shines. Sides in metres. */
export type LampShape =
  | { readonly kind: 'point' }
  | { readonly kind: 'disc'; readonly diameterM: number }
  | { readonly kind: 'panel'; readonly lengthM: number; readonly widthM: number };

export const HEIGHT_LIMITS = {
  /** Leaves touch what hangs lower. */
  leastM: 0.02,
  /** Higher than any bench or greenhouse lamp hangs. */
  mostM: 20,
  sideLeastM: 0.01,
  sideMostM: 10,
} as const;

/**
 * Share of what the panel's face gives off per area that arrives at a place under its middle: four times the
 * configuration factor of a small plane to a parallel rectangle with a corner above it (Howell, A Catalog of
 * Radiation Heat Transfer Configuration Factors, B-3).
 */
export function panelFactor(lengthM: number, widthM: number, heightM: number): number {
  const a = lengthM / 2 / heightM;
  const b = widthM / 2 / heightM;
  const rootA = Math.sqrt(1 + a * a);
  const rootB = Math.sqrt(1 + b * b);
  return (2 / Math.PI) * ((a / rootA) * Math.atan(b / rootA) + (b / rootB) * Math.atan(a / rootB));
}

/** The same for a round panel (Howell, the disc parallel to a small plane under its centre). */
export function discFactor(diameterM: number, heightM: number): number {
  const radiusM = diameterM / 2;
  return radiusM ** 2 / (radiusM ** 2 + heightM ** 2);
}

/** Light at `heightM` in some unit of its own: only ratios of it mean something. */
function strength(shape: LampShape, heightM: number): number {
  switch (shape.kind) {
    case 'point':
      return 1 / heightM ** 2;
    case 'disc':
      return discFactor(shape.diameterM, heightM);
    case 'panel':
      return panelFactor(shape.lengthM, shape.widthM, heightM);
  }
}

/** How many times the light at `fromM` that at `toM` is. Heights above the leaves, more than 0. */
export function lightRatio(shape: LampShape, fromM: number, toM: number): number {
  return strength(shape, toM) / strength(shape, fromM);
}

/**
 * Height, m, at which a lamp gives `ratio` times the light it gives at `fromM`. Refuses what no height within the
 * limits gives: near a panel the light grows no further.
 */
export function heightForRatio(shape: LampShape, fromM: number, ratio: number): Verdict<number> {
  const { leastM, mostM } = HEIGHT_LIMITS;
  const most = lightRatio(shape, fromM, leastM);
  if (ratio > most) {
    return decline(
      `Even close above the leaves this lamp gives no more than ${Number(most.toPrecision(2))} times the light it gives now. It takes a stronger one, or more hours.`,
    );
  }
  if (ratio < lightRatio(shape, fromM, mostM)) {
    return decline(`It would have to hang higher than ${mostM} m. Dim it, or shade the plants.`);
  }
  // Light falls steadily with height, so halving the range finds the place, far closer than anybody hangs a lamp.
  let low: number = leastM;
  let high: number = mostM;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (lightRatio(shape, fromM, middle) > ratio) low = middle;
    else high = middle;
  }
  return accept((low + high) / 2);
}
