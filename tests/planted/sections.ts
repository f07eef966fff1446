/** What a grower is promised, a planted bug for each sentence. */
import type { PlantedBug } from './bug';
import { CROPS } from './crops';
import { FED } from './fed';
import { HEAT } from './heat';
import { ON_THE_SCALE } from './on-the-scale';
import { WEIGHT } from './weight';

export const SECTIONS: Readonly<Record<string, readonly PlantedBug[]>> = {
  'Crops by published tables': CROPS,
  'Plants that are fed': FED,
  'Weight that tells the truth': WEIGHT,
  'What stands on the scale': ON_THE_SCALE,
  'Heat that is never locked off by an ordinary day': HEAT,
};
