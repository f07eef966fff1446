/** Profiles for the swarm: the shipped ones, and others like them that the board accepts. */
import type { Random } from '../../firmware/bench/random';
import { checkProfileText } from '../../shared/profile/host/check';
import { type CropFileName, cropFileText } from '../../shared/profile/host/crops';
import { LID_PLACES, type Profile, type Stage } from '../../shared/profile/profile';
import { checkProfile } from '../../shared/profile/rules';

const HOUR_S = 3_600;
const kept = new Map<CropFileName, Profile>();

/** A crop as shipped, compiled as the program compiles it. */
export function shippedProfile(crop: CropFileName): Profile {
  const before = kept.get(crop);
  if (before !== undefined) return before;
  const { profile, problems } = checkProfileText(cropFileText(crop, ''), `${crop}.yaml`, 0);
  if (profile === null) throw new Error(problems[0]?.why ?? `the profile of ${crop} has an error`);
  kept.set(crop, profile);
  return profile;
}

/** The profile with other bands, shares, doses, caps, times and lids, each stage only as far as the rules allow. */
export function varied(profile: Profile, draw: Random): Profile {
  let soFar = profile;
  for (const [i, stage] of profile.stages.entries()) {
    const other = variedStage(stage, draw);
    const stages = soFar.stages.map((one, j) => (j === i ? other : one));
    const changed = { ...soFar, stages };
    if (checkProfile(changed).length === 0) soFar = changed;
  }
  return soFar;
}

const hundredths = (value: number): number => Math.round(value * 100) / 100;

function variedStage(stage: Stage, draw: Random): Stage {
  const { band, watering, opening, rescue, end } = stage;
  const lowC = hundredths(band.lowC + draw.between(-3, 3));
  const highC = hundredths(lowC + draw.between(0.5, 3));
  const times = draw.between(0.5, 1.5);
  const share = (value: number): number => Math.round(value * times * 1000) / 1000;
  return {
    ...stage,
    band: { lowC, highC },
    watering: watering && {
      ...watering,
      startShare: share(watering.startShare),
      stopShare: share(watering.stopShare),
      doseMl: Math.round(watering.doseMl * draw.between(0.8, 1.2)),
      maxDayMl: Math.round(watering.maxDayMl * draw.between(0.4, 1.5)),
    },
    opening: opening && { ...opening, byS: Math.round(draw.between(0, 30) * HOUR_S) },
    rescue: { ...rescue, share: share(rescue.share) },
    end: end.afterS === 0 ? end : { ...end, afterS: Math.round(end.afterS * times) },
    lid: LID_PLACES[Math.floor(draw.between(0, LID_PLACES.length))] ?? stage.lid,
  };
}
