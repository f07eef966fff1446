/** Trays that a night finds: germinating under a closed lid, or fed under a lid that is more or less open. */
import type { Profile, Stage } from '../../../shared/profile/profile';
import { HOUR_S } from '../../../shared/units/time';
import { planFor } from '../season/matrix';

function stageOf(profile: Profile, index: number): Stage {
  const stage = profile.stages[index];
  if (stage === undefined) throw new RangeError(`the profile has no stage ${index}`);
  return stage;
}

/** The pepper profile as shipped, its stages replaced by `stages`. One plug is as good as another for a dose here. */
function pepperWith(stages: (shipped: Profile) => readonly Stage[]): Profile {
  const { profile } = planFor('pepper', 0, 0, 'daily');
  return { ...profile, spread: null, stages: stages(profile) };
}

const WATERING = {
  startShare: 0.04,
  stopShare: 0.015,
  doseMl: 60,
  soakInS: 600,
  maxDayMl: 900,
  maxStageMl: 8000,
} as const;

/** Waters by weight; opens within `byH` hours. */
function fed(like: Stage, lid: Stage['lid'], byH: number): Stage {
  return {
    ...like,
    lid,
    watering: WATERING,
    opening: { byS: byH * HOUR_S, stopShare: 0.01 },
    rescue: { share: 0.12, doseMl: 0 },
    end: { afterS: 0, mark: null },
  };
}

export const SCENES = {
  /** Closed lid, no water: the days in which nobody may be wrong. */
  germinating: () => pepperWith(({ stages }) => stages),
  /** Vents open, no water. */
  cotyledons: () =>
    pepperWith((shipped) => [
      { ...stageOf(shipped, 1), end: { afterS: 10 * 86_400, mark: null } },
      fed(stageOf(shipped, 2), 'propped', 48),
    ]),
  /** A propped lid, and the first feed after a day. */
  'first-feed': () =>
    pepperWith((shipped) => [
      { ...stageOf(shipped, 1), lid: 'propped', end: { afterS: 26 * HOUR_S, mark: null } },
      fed(stageOf(shipped, 2), 'propped', 1),
    ]),
  /** Lid off, doses whenever the weight asks for them. */
  fed: () => pepperWith((shipped) => [fed(stageOf(shipped, 3), 'off', 4)]),
} as const satisfies Record<string, () => Profile>;

export type SceneName = keyof typeof SCENES;
export const SCENE_NAMES = Object.keys(SCENES) as readonly SceneName[];
