/**
 * Dilute feed: EC at 25 C from any temperature, and how much stock or water brings a reservoir to the
 * EC wanted. EC is taken as linear in dilution: within 5 % for half to
 * twice the strength it was measured at (common practice), so always measure once mixed.
 */
import { accept, decline, type Verdict } from './verdict';

/**
 * Dissolved salts of a feed, mg/l for each mS/cm at 25 C: the 640 scale, the middle one of the three that
 * meters show. About a fifth of it is nitrogen: 15-5-15 gives 135 mg/l, 0.0074 mS/cm for each (Univ. of
 * Massachusetts).
 */
export const SALTS_MG_L_PER_MS = 640;

/** Factor that brings a conductivity measured at `tempC` to 25 C: ISO 7888 (EN 27888), natural water. */
const F25: readonly (readonly [tempC: number, factor: number])[] = [
  [0, 1.918],
  [5, 1.643],
  [10, 1.428],
  [15, 1.256],
  [18, 1.168],
  [20, 1.116],
  [22, 1.067],
  [24, 1.021],
  [25, 1],
  [26, 0.979],
  [28, 0.94],
  [30, 0.903],
  [35, 0.822],
];

/**
 * EC at 25 C, mS/cm, from an uncompensated reading at `tempC`, 0 to 35 C; NaN outside. Meters that
 * compensate by themselves must not be corrected again.
 */
export function ecAt25C(ecMsCm: number, tempC: number): number {
  for (let i = 1; i < F25.length; i++) {
    const [low, high] = [F25[i - 1], F25[i]];
    if (!low || !high || tempC > high[0]) continue;
    if (!(tempC >= low[0])) return Number.NaN;
    const part = (tempC - low[0]) / (high[0] - low[0]);
    // Conductivity itself, 1/factor, is nearly straight in temperature; the factor is not.
    return ecMsCm / (1 / low[1] + (1 / high[1] - 1 / low[1]) * part);
  }
  return Number.NaN;
}

/** A stock as its label says: diluted 1 : `ratio` it raises the EC by `gainMsCm`. */
export interface Stock {
  readonly ratio: number;
  readonly gainMsCm: number;
}

/** What to do to a reservoir. `eachMl`: of the stock, or of A and of B where the stock has two parts. */
export type FeedStep =
  | { readonly add: 'nothing' }
  | { readonly add: 'stock'; readonly eachMl: number }
  | { readonly add: 'water'; readonly waterMl: number };

/**
 * How to bring `volumeMl` at `presentMsCm` to `targetMsCm`. For a fresh mix, `presentMsCm` is the
 * water's own EC: it counts towards the target. Too strong is thinned with water of `waterMsCm`,
 * never "corrected" with salt; that needs no `stock`. Refuses what cannot be: water that is itself above
 * the target.
 */
export function feedStep(
  volumeMl: number,
  presentMsCm: number,
  targetMsCm: number,
  waterMsCm: number,
  stock: Stock | null,
): Verdict<FeedStep> {
  const inputs = [volumeMl, presentMsCm, targetMsCm, waterMsCm];
  if (inputs.some((value) => !(value >= 0) || !Number.isFinite(value)) || volumeMl === 0) {
    return decline('Volume and EC must be numbers of 0 or more, and there must be some volume.');
  }
  if (presentMsCm === targetMsCm) return accept({ add: 'nothing' });
  if (presentMsCm < targetMsCm) {
    if (!(stock !== null && stock.ratio > 0 && stock.gainMsCm > 0)) {
      return decline('The stock needs its dilution and the EC it adds, both above 0.');
    }
    const mlPerMl = (targetMsCm - presentMsCm) / (stock.gainMsCm * stock.ratio);
    return accept({ add: 'stock', eachMl: volumeMl * mlPerMl });
  }
  if (waterMsCm >= targetMsCm) {
    return decline(
      `The water alone has ${waterMsCm} mS/cm, so it cannot thin the feed to ${targetMsCm} mS/cm. ` +
        'Use rain or purified water, or accept a higher target.',
    );
  }
  const waterMl = (volumeMl * (presentMsCm - targetMsCm)) / (targetMsCm - waterMsCm);
  return accept({ add: 'water', waterMl });
}
