/** Which seasons are run: every shipped crop in rooms from cold to hot, by growers of three kinds. */
import { checkProfileText } from '../../../shared/profile/host/check';
import {
  CROP_FILE_NAMES,
  type CropFileName,
  cropFileText,
} from '../../../shared/profile/host/crops';
import { HABIT_NAMES, type HabitName } from './habits';
import type { SeasonPlan } from './season';

/** From a cold shed to a greenhouse in summer, C. */
const ROOMS_C = [14, 18, 22, 25, 28] as const;
/** More seeds of a season are so far apart: each room and kind of grower has its own. */
const SEEDS_APART = 1_000;

/** A plan for a crop as shipped, compiled as the program compiles it. */
export function planFor(
  crop: CropFileName,
  roomC: number,
  seed: number,
  habits: HabitName,
): SeasonPlan {
  const { profile, problems } = checkProfileText(cropFileText(crop, ''), `${crop}.yaml`, 0);
  if (profile === null) throw new Error(problems[0]?.why ?? `the profile of ${crop} has an error`);
  return { crop, profile, roomC, seed, habits };
}

/** All of them, each with `seeds` seeds of its own. */
export function allPlans(seeds: number): SeasonPlan[] {
  const first = (room: number, habit: number): number => 1 + room * HABIT_NAMES.length + habit;
  return CROP_FILE_NAMES.flatMap((crop) =>
    ROOMS_C.flatMap((roomC, i) =>
      HABIT_NAMES.flatMap((habits, j) =>
        Array.from({ length: seeds }, (_, k) =>
          planFor(crop, roomC, first(i, j) + k * SEEDS_APART, habits),
        ),
      ),
    ),
  );
}
