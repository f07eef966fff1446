/**
 * Dilute feed: how much stock or water brings a reservoir to the EC wanted, and how much salt a stock
 * takes. EC is taken as linear in dilution: within 5 % for half to twice the strength it was measured at
 * (common practice), so always measure once mixed.
 */
import { accept, decline, type Verdict } from './verdict';

/**
 * Dissolved salts of a feed, mg/l for each mS/cm at 25 C: the 640 scale, the middle one of the three that
 * meters show. About a fifth of it is nitrogen: 15-5-15 gives 135 mg/l, 0.0074 mS/cm for each (Univ. of
 * Massachusetts).
 */
export const SALTS_MG_L_PER_MS = 640;

/**
 * No water that is poured on plants has less, but none at all: rain has five times as much, purified water twice (common
 * practice). Every feed's strength in mS/cm that is written as uS/cm is below it.
 */
export const PUREST_MS_CM = 0.005;

/** A stock as its label says: 1 part of each of its `parts` in `ratio` parts of feed raises the EC by `gainMsCm`. */
export interface Stock {
  readonly ratio: number;
  readonly gainMsCm: number;
  /** 2 for A and B. */
  readonly parts: 1 | 2;
}

/**
 * What to do to a reservoir. `eachMl`: of the stock, or of A and of B where it has two parts. `pourOutMl`:
 * poured away first, where there is no room for what comes.
 */
export type FeedStep =
  | { readonly add: 'nothing' }
  | {
      readonly add: 'stock';
      readonly eachMl: number;
      readonly pourOutMl: number;
      readonly makesMl: number;
    }
  | {
      readonly add: 'water';
      readonly waterMl: number;
      readonly pourOutMl: number;
      readonly makesMl: number;
    };

/** A reservoir as it stands. `roomMl`: what it holds to the brim, null where nobody has said. */
export interface Reservoir {
  readonly volumeMl: number;
  readonly ecMsCm: number;
  readonly roomMl: number | null;
}

/** `addMl` to each ml there is, in a reservoir that may have to be emptied in part first. */
function fitted({ volumeMl, roomMl }: Reservoir, mlPerMl: number) {
  const fullMl = volumeMl * (1 + mlPerMl);
  const keptMl = roomMl === null || fullMl <= roomMl ? volumeMl : roomMl / (1 + mlPerMl);
  return {
    addMl: keptMl * mlPerMl,
    pourOutMl: volumeMl - keptMl,
    makesMl: keptMl * (1 + mlPerMl),
  };
}

/**
 * How to bring a reservoir to `targetMsCm`. For a fresh mix, its EC is the water's own: it counts towards
 * the target; so does the stock's own volume. Too strong is thinned with water of `waterMsCm`, never
 * "corrected" with salt; that needs no `stock`. Refuses what cannot be: water that is itself above the
 * target, a stock no stronger than the feed.
 */
export function feedStep(
  reservoir: Reservoir,
  targetMsCm: number,
  waterMsCm: number,
  stock: Stock | null,
): Verdict<FeedStep> {
  const { volumeMl, ecMsCm, roomMl } = reservoir;
  const inputs = [volumeMl, ecMsCm, targetMsCm, waterMsCm, roomMl ?? 0];
  if (inputs.some((value) => !(value >= 0) || !Number.isFinite(value)) || volumeMl === 0) {
    return decline('Volume and EC must be numbers of 0 or more, and there must be some volume.');
  }
  if (ecMsCm === targetMsCm) return accept({ add: 'nothing' });
  if (ecMsCm < targetMsCm) return stockStep(reservoir, targetMsCm, stock);
  if (waterMsCm >= targetMsCm) {
    return decline(
      `The water alone has ${waterMsCm} mS/cm, so it cannot thin the feed to ${targetMsCm} mS/cm. ` +
        'Use rain or purified water, or accept a higher target.',
    );
  }
  const { addMl, ...rest } = fitted(reservoir, (ecMsCm - targetMsCm) / (targetMsCm - waterMsCm));
  return accept({ add: 'water', waterMl: addMl, ...rest });
}

function stockStep(
  reservoir: Reservoir,
  targetMsCm: number,
  stock: Stock | null,
): Verdict<FeedStep> {
  if (!(stock !== null && stock.ratio > 0 && stock.gainMsCm > 0)) {
    return decline('The stock needs its dilution and the EC it adds, both above 0.');
  }
  // A ml of each part raises a ml of feed by this; the parts themselves are thinned to the target too.
  const strengthMsCm = stock.gainMsCm * stock.ratio - stock.parts * targetMsCm;
  if (!(strengthMsCm > 0)) {
    return decline(
      'That stock is no stronger than the feed wanted. Compare its dilution and the EC it adds with the label.',
    );
  }
  const eachPerMl = (targetMsCm - reservoir.ecMsCm) / strengthMsCm;
  const { addMl, ...rest } = fitted(reservoir, eachPerMl * stock.parts);
  return accept({ add: 'stock', eachMl: addMl / stock.parts, ...rest });
}

/**
 * Grams of a salt in each litre of a stock that an injector draws 1 part of to `ratio` of feed, so that
 * the feed has `wantMgL` of what is `share` of the salt: mg/l = g/l x % x 10 (Univ. of Massachusetts).
 */
export function stockGL(wantMgL: number, share: number, ratio: number): number {
  return (wantMgL * ratio) / (share * 1000);
}
