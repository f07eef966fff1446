/** The crops the bench can sow: those of the library whose trials and growth it has. */
import type { Crop, Growth } from '../../../shared/crops/library/crop';
import { crops } from '../../../shared/crops/library/library';
import { type SeedColumn, seedColumns } from './seed';

/**
 * Size and pace as in the crop's file: for leaf, dry matter and pace no source was found that gives transplants by age
 * and cell. 20 to 25 cm2 of leaf a gram and 6 to 10 % dry matter are common practice (lettuce in ample water and
 * light is 3.2 to 3.6 % dry: Carotti et al. 2021). A tomato seedling begins at about 0.1 g (Klapwijk and de Lint,
 * Neth. J. Agric. Sci., followed theirs from 0.1 to 10 g; as remembered, no print found).
 */
export interface CropParameters extends Omit<Growth, 'source' | 'seed'> {
  /** Days to emergence and normal seedlings by soil temperature. */
  readonly seed: readonly SeedColumn[];
}

function parameters(crop: Crop): CropParameters | null {
  const seed = seedColumns(crop);
  return crop.growth === null || seed === null ? null : { ...crop.growth, seed };
}

const CROPS: ReadonlyMap<string, CropParameters> = new Map(
  crops().flatMap((crop) => {
    const known = parameters(crop);
    return known === null ? [] : [[crop.name, known]];
  }),
);

export const CROP_NAMES: readonly string[] = [...CROPS.keys()];

/** Of a crop of `CROP_NAMES`. Throws for another: the commands have asked before. */
export function cropParameters(name: string): CropParameters {
  const known = CROPS.get(name);
  if (known === undefined) throw new Error(`The bench does not know how ${name} grows.`);
  return known;
}
