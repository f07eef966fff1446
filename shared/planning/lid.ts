/**
 * When the lid goes where, from emergence on: as the crop's own profile has it, so that the plan and the tray say the
 * same; else as those profiles do on the whole. Pure.
 */
import type { Crop } from '../crops/library/crop';
import { shippedProfile } from '../profile/host/shipped';
import type { LidPlace } from '../profile/profile';
import { DAY_S } from '../units/time';
import { STEPS } from './limits';

/** Days after emergence; the vents are opened on the day itself. */
export interface LidDays {
  readonly propped: number;
  readonly offByDay: number;
}

/** Days from emergence until the profile first has the lid there; null where it never does. */
function profileDay(crop: string, lid: LidPlace): number | null {
  const stages = shippedProfile(crop)?.stages ?? [];
  const first = stages.findIndex(({ end }) => end.mark === 'emerged') + 1;
  const at = stages.findIndex((stage, i) => i >= first && stage.lid === lid);
  if (first === 0 || at < 0) return null;
  return stages.slice(first, at).reduce((sum, { end }) => sum + end.afterS / DAY_S, 0);
}

/** `growFrom`: days after emergence (or first roots) at which the crop's seedlings begin to size. */
export function lidDays({ name }: Crop, growFrom: number): LidDays {
  const propped = profileDay(name, 'propped') ?? STEPS.propAfterEmergence;
  const usual = Math.min(growFrom, STEPS.lidByDayAfterEmergenceMost);
  // A crop that goes from rooting to growing at once has its lid propped for some days all the same.
  const offByDay = profileDay(name, 'off-by-day') ?? Math.max(usual, 2 * propped);
  return { propped, offByDay };
}
