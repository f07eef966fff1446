/**
 * Whether the tray needs water, and why. Dry-back with hysteresis in a stage that waters by weight: a
 * cycle begins at the start share and goes on to the stop share. In a hold one rescue dose, and not
 * without the alarm that calls the grower. Pure.
 */
import { trayAtDryBackG } from '../../shared/physics/dry-back';
import { mlFromG, USUAL_WATER_C } from '../../shared/physics/water';
import type { Stage, Watering } from '../../shared/profile/profile';
import { WATER_LIMITS as LIMITS } from '../limits';

export type Need = 'dry-back' | 'rescue';

export interface NeedState {
  /** The watering rule that this need grew under: another stage or profile starts anew. */
  readonly watering: Watering | null;
  /** For how long the tray has been past the start share, ms. */
  readonly needMs: number;
  /** A cycle is under way: from the start share down to the stop share. */
  readonly cycling: boolean;
}

export interface NeedInput {
  readonly dtMs: number;
  readonly stage: Stage | null;
  /** Weight without handling's share, g; NaN while unknown. */
  readonly trayG: number;
  readonly dryBackShare: number;
  /** The weight stands still. */
  readonly stable: boolean;
  readonly capacityG: number;
  readonly dryG: number;
  /** The alarm `too-dry` stands; and this hold has had its rescue dose. */
  readonly tooDry: boolean;
  readonly rescued: boolean;
}

export interface NeedStep {
  readonly state: NeedState;
  readonly need: Need | null;
}

/** Nothing is wanted. */
export const NO_NEED: NeedState = { watering: null, needMs: 0, cycling: false };
const NOTHING: NeedStep = { state: NO_NEED, need: null };
const RESCUE: NeedStep = { state: NO_NEED, need: 'rescue' };

/** What is missing to `shareOfDryBack`, ml; 0 when it is there. NaN while the weights are unknown. */
export function missingMl(
  shareOfDryBack: number,
  trayG: number,
  weights: { readonly capacityG: number; readonly dryG: number },
): number {
  const missingG = trayAtDryBackG(shareOfDryBack, weights) - trayG;
  return mlFromG(Math.max(0, missingG), USUAL_WATER_C);
}

/** Next state of the need, and the need itself. Without a stage or a weight nothing is wanted. */
export function nextNeed(state: NeedState, input: NeedInput): NeedStep {
  const { stage, dryBackShare } = input;
  if (stage === null || Number.isNaN(dryBackShare)) return NOTHING;
  const { watering, rescue } = stage;
  if (watering === null) {
    const allowed = rescue.doseMl > 0 && !input.rescued;
    return allowed && input.tooDry && dryBackShare >= rescue.share ? RESCUE : NOTHING;
  }
  const before = state.watering === watering ? state : { ...NO_NEED, watering };
  const needMs = nextNeedMs(before.needMs, watering, input);
  // Of a smaller rest the scale could not say whether it has arrived.
  const restMl = missingMl(watering.stopShare, input.trayG, input);
  const goesOn = before.cycling && restMl >= watering.doseMl * LIMITS.lastDoseMinShare;
  const cycling = goesOn || needMs >= LIMITS.needMs;
  const next =
    needMs === before.needMs && cycling === before.cycling ? before : { watering, needMs, cycling };
  return { state: next, need: cycling ? 'dry-back' : null };
}

function nextNeedMs(needMs: number, { startShare }: Watering, input: NeedInput): number {
  if (input.dryBackShare < startShare) return 0;
  // A breath is not dry-back: only a weight that stands still says more.
  return input.stable ? needMs + input.dtMs : needMs;
}
