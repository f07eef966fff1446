/** The crops the bench can sow: their seed trials, and the size and pace of their seedlings. */
import { NG, TRIALS, type Trial, trials } from '../../../shared/physics/emergence';

export interface CropParameters {
  /** Days to emergence and normal seedlings by soil temperature. */
  readonly seed: readonly Trial[];
  /** Cotyledons of one seedling, cm2. */
  readonly firstLeafCm2: number;
  /** Leaf that goes with a gram of fresh plant, root included, cm2. */
  readonly leafCm2PerG: number;
  /** Dry matter, share of fresh mass. */
  readonly dryShare: number;
  /** Growth begins at the one temperature and is in full swing at the other, C. */
  readonly growthBaseC: number;
  readonly growthFullC: number;
}

/**
 * Basil, from cardinal temperatures: 11.8, 35 and 43 C over six cultivars (ASA, CSSA and SSSA meeting 2012, paper
 * 73505), best at 25 to 30 C with 86 to 90 % (Notulae Scientia Biologicae 9164). They differ by 3 K and more: weaker
 * than the table.
 */
const BASIL = trials([NG, NG, NG, 18, 9, 6, 5, 5, NG], [0, 0, 10, 60, 80, 88, 86, 50, 0]);

/**
 * Seed: Harrington and Minges 1954. For leaf, dry matter and pace no source was found that gives transplants by age
 * and cell: 20 to 25 cm2 of leaf a gram and 6 to 10 % dry matter are common practice (lettuce in ample water and
 * light is 3.2 to 3.6 % dry: Carotti et al. 2021). A tomato seedling begins at about 0.1 g (Klapwijk and de Lint,
 * Neth. J. Agric. Sci., followed theirs from 0.1 to 10 g; as remembered, no print found).
 */
export const CROPS = {
  tomato: crop(TRIALS.tomato, 2, 20, 0.09, 8, 22),
  pepper: crop(TRIALS.pepper, 2, 20, 0.1, 10, 24),
  cucumber: crop(TRIALS.cucumber, 10, 22, 0.06, 12, 24),
  eggplant: crop(TRIALS.eggplant, 2, 20, 0.1, 10, 24),
  lettuce: crop(TRIALS.lettuce, 1, 25, 0.065, 4, 20),
  cabbage: crop(TRIALS.cabbage, 2, 20, 0.1, 4, 20),
  onion: crop(TRIALS.onion, 0.6, 12, 0.09, 4, 20),
  basil: crop(BASIL, 0.8, 22, 0.09, 10, 24),
} as const satisfies Record<string, CropParameters>;

export type CropName = keyof typeof CROPS;
export const CROP_NAMES = Object.keys(CROPS) as readonly CropName[];

function crop(
  seed: readonly Trial[],
  firstLeafCm2: number,
  leafCm2PerG: number,
  dryShare: number,
  growthBaseC: number,
  growthFullC: number,
): CropParameters {
  return { seed, firstLeafCm2, leafCm2PerG, dryShare, growthBaseC, growthFullC };
}
