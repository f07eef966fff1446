/** Power cuts inside flash operations, on the image that growers get; the same ones in each run. */
import { describe, it } from 'vitest';
import { FIXED_SEED } from '../properties';
import { CUTS_LIMIT_MS, liveThrough, MANY_CUTS } from './cut-lives';
import { cannotBuild, trayward } from './images';

describe.skipIf(cannotBuild)('power cuts inside flash operations', () => {
  it(
    'lose nothing but the entry being written, and never start with an output on',
    async () => {
      liveThrough(await trayward(), FIXED_SEED, MANY_CUTS);
    },
    CUTS_LIMIT_MS,
  );
});
