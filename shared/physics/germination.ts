/**
 * At which root-zone temperatures a crop's seed comes up. A profile's band is held against this
 * before it is loaded.
 *
 * Limits and optimum: soil temperature table of the California Master Gardener Handbook (2nd ed.)
 * and the same kind of table from Oregon; for pepper and eggplant the warmer optimum of the
 * Mid-Atlantic recommendations (Univ. of Delaware), which the trials of Harrington and Minges 1954
 * bear out (pepper: 95 to 98 % at 25 to 30 C). Good to about 1 K, basil to 3 K.
 */
import type { Band } from '../profile/profile';
import { accept, decline, type Verdict } from './verdict';

export interface GerminationWindow {
  /** Below, most seed rots before it comes up. */
  readonly minC: number;
  readonly bestLowC: number;
  readonly bestHighC: number;
  /** Above, most seed fails or goes dormant. */
  readonly maxC: number;
  readonly source: string;
}

const HANDBOOK = 'California Master Gardener Handbook, soil temperature table';
const MID_ATLANTIC = 'Mid-Atlantic recommendations (Univ. of Delaware); Harrington and Minges 1954';

export const GERMINATION = {
  tomato: { minC: 10, bestLowC: 18.3, bestHighC: 29.4, maxC: 35, source: HANDBOOK },
  pepper: { minC: 15.6, bestLowC: 25, bestHighC: 32.2, maxC: 35, source: MID_ATLANTIC },
  cucumber: { minC: 15.6, bestLowC: 18.3, bestHighC: 35, maxC: 40.6, source: HANDBOOK },
  eggplant: { minC: 15.6, bestLowC: 23.9, bestHighC: 32.2, maxC: 35, source: MID_ATLANTIC },
  // 99 % normal seedlings at 25 C, but 12 % at 30 C: heat makes the seed dormant.
  lettuce: {
    minC: 1.7,
    bestLowC: 15.6,
    bestHighC: 23.9,
    maxC: 29,
    source: 'Harrington and Minges 1954 (Knott’s Handbook): 12 % normal seedlings at 30 C',
  },
  cabbage: { minC: 4.4, bestLowC: 15.6, bestHighC: 29.4, maxC: 35, source: HANDBOOK },
  onion: { minC: 1.7, bestLowC: 18.3, bestHighC: 29.4, maxC: 35, source: HANDBOOK },
  basil: {
    minC: 10,
    bestLowC: 24,
    bestHighC: 29,
    maxC: 35,
    source: 'several trials of cardinal temperatures, which differ by 3 K',
  },
} as const satisfies Record<string, GerminationWindow>;

const BY_NAME: ReadonlyMap<string, GerminationWindow> = new Map(Object.entries(GERMINATION));

/** The window of a crop by its name in a profile, any case; null for a crop not in the table. */
export function germinationWindow(crop: string): GerminationWindow | null {
  return BY_NAME.get(crop.trim().toLowerCase()) ?? null;
}

/** A band that is allowed; `advice` says when it is outside the best range, else null. */
export interface BandJudgement {
  readonly advice: string | null;
}

/**
 * Whether seed of `crop` may be germinated in `band`. Refuses a band that leaves the crop's limits,
 * saying which published limit; allows crops not in the table without a word.
 */
export function judgeGerminationBand(crop: string, band: Band): Verdict<BandJudgement> {
  const window = germinationWindow(crop);
  if (window === null) return accept({ advice: null });
  const { minC, bestLowC, bestHighC, maxC, source } = window;
  const best = `Best is ${bestLowC} to ${bestHighC} C`;
  if (band.highC > maxC) {
    return decline(
      `${band.highC} C is too warm for ${crop} seed: above ${maxC} C most of it does not come up. ${best} (${source}).`,
    );
  }
  if (band.lowC < minC) {
    return decline(
      `${band.lowC} C is too cold for ${crop} seed: below ${minC} C most of it does not come up. ${best} (${source}).`,
    );
  }
  if (band.lowC >= bestLowC && band.highC <= bestHighC) return accept({ advice: null });
  const side = band.highC > bestHighC ? 'warmer' : 'colder';
  return accept({
    advice: `The band is ${side} than ${crop} seed likes. ${best} (${source}).`,
  });
}
