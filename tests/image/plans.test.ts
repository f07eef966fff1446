/** Fifty plans of the swarm in minutes, on the image that growers get: power cuts, faults, hands, and words at both doors. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { BuiltImage } from '../../firmware/image/build';
import { drawImagePlan } from '../swarm/image-plan';
import { runOnImage } from '../swarm/on-image';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';

const PLANS = 50;
/** Of a plan, on a machine that does other things as well. */
const PLAN_LIMIT_MS = 120_000;

describe.skipIf(cannotBuild)('a tray on the image to which anything happens', () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  it.each(Array.from({ length: PLANS }, (_, i) => i + 1))(
    'keeps its promises in the minutes of seed %i',
    (seed) => {
      const plan = drawImagePlan(seed);
      expect(runOnImage(plan, image).breaches, JSON.stringify(plan)).toEqual([]);
    },
    PLAN_LIMIT_MS,
  );
});
