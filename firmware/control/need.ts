/**
 * Whether the tray needs water, and why. Dry-back with hysteresis in a stage that waters by weight: a
 * cycle begins at the start share and goes on to the stop share. A stage may open with water: its first
 * cycle begins at the latest at a stated time, whatever the dry-back, and gives a whole dose at least.
 * In a hold one rescue dose, and not without the alarm that calls the grower. Pure.
 */
import type { DoseReason } from '../../shared/journal/kinds';
import { trayAtDryBackG } from '../../shared/physics/dry-back';
import { mlFromG, USUAL_WATER_C } from '../../shared/physics/water';
import type { Stage, Watering } from '../../shared/profile/profile';
import { WATER_LIMITS as LIMITS } from '../limits';

export type Need = 'dry-back' | 'rescue' | 'opening';

/** Whether a dose was given because the tray needed it, and not by the grower's hand. */
export function isNeed(reason: DoseReason): reason is Need {
  return reason === 'dry-back' || reason === 'rescue' || reason === 'opening';
}

/** What a dose was for that a power cut ended. A hold has no other, and a stage that opens with water begins with that. */
export function needOfCut(stage: Stage | null, opened: boolean): Need {
  if (stage?.kind === 'hold') return 'rescue';
  return stage?.opening && !opened ? 'opening' : 'dry-back';
}

/** A need that grew under `watering`: another stage or profile starts anew. Dry past the start share for `needMs`. */
interface Dry {
  readonly watering: Watering;
  readonly needMs: number;
}
interface NotDry {
  readonly phase: 'not-dry';
}
/** Past the start share, and not yet for long enough. */
interface Waiting extends Dry {
  readonly phase: 'waiting';
}
/** From the start share down to the stop share; or the cycle that the stage opens with. */
interface Cycling extends Dry {
  readonly phase: 'cycling';
  readonly reason: 'dry-back' | 'opening';
}

/** What the tray's dryness has come to. */
export type NeedState = NotDry | Waiting | Cycling;

export interface NeedInput {
  readonly dtMs: number;
  readonly stage: Stage | null;
  /** Run time of the stage, ms; and whether it has had the first dose of its opening. */
  readonly stageRunMs: number;
  readonly opened: boolean;
  /** Weight without handling's share, g; NaN while unknown. */
  readonly trayG: number;
  readonly dryBackShare: number;
  /** The weight stands still, and it is the tray's: no hand is there, and it stands where it belongs. */
  readonly stable: boolean;
  readonly capacityG: number;
  readonly dryG: number;
  /** The alarm `too-dry` stands; and this hold has had its rescue dose. */
  readonly tooDry: boolean;
  readonly rescued: boolean;
  /** Of less not every piece gets any, ml; 0 where the profile does not say how water is spread. */
  readonly spreadMl: number;
}

export interface NeedStep {
  readonly state: NeedState;
  readonly need: Need | null;
}

/** Nothing is wanted. */
export const NO_NEED: NeedState = { phase: 'not-dry' };
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

/** Smallest dose, ml, that is worth giving: the scale can weigh it, and it reaches every piece. */
export function leastDoseMl({ doseMl }: Watering, spreadMl: number): number {
  return Math.max(doseMl * LIMITS.lastDoseMinShare, spreadMl);
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
  const before = state.phase !== 'not-dry' && state.watering === watering ? state : NO_NEED;
  const needMs = nextNeedMs(before.phase === 'not-dry' ? 0 : before.needMs, watering, input);
  const mayOpen = stage.opening !== null && !input.opened;
  const due = mayOpen && input.stageRunMs >= (stage.opening?.byS ?? 0) * 1000;
  const goesOn = before.phase === 'cycling' && isUnfinished(before, stage, input);
  if (goesOn || due || needMs >= LIMITS.needMs) {
    const opens = mayOpen || (before.phase === 'cycling' && before.reason === 'opening');
    return cycle(before, watering, needMs, opens ? 'opening' : 'dry-back');
  }
  return needMs === 0 ? NOTHING : wait(before, watering, needMs);
}

/** The same state where it says what it said before: a tick in which nothing changes makes no garbage. */
function wait(before: NeedState, watering: Watering, needMs: number): NeedStep {
  const same = before.phase === 'waiting' && before.needMs === needMs;
  return { state: same ? before : { phase: 'waiting', watering, needMs }, need: null };
}

function cycle(
  before: NeedState,
  watering: Watering,
  needMs: number,
  reason: Cycling['reason'],
): NeedStep {
  const same = before.phase === 'cycling' && before.needMs === needMs && before.reason === reason;
  return {
    state: same ? before : { phase: 'cycling', watering, needMs, reason },
    need: reason,
  };
}

/** Dry-back to which a cycle goes on. */
export function stopShareOf(need: Need | null, stage: Stage, watering: Watering): number {
  return need === 'opening' ? (stage.opening?.stopShare ?? watering.stopShare) : watering.stopShare;
}

function isUnfinished({ reason, watering }: Cycling, stage: Stage, input: NeedInput): boolean {
  if (reason === 'opening' && !input.opened) return true;
  const stopShare = stopShareOf(reason, stage, watering);
  // Of a smaller rest the scale could not say whether it has arrived, or some pieces would get none.
  return missingMl(stopShare, input.trayG, input) >= leastDoseMl(watering, input.spreadMl);
}

function nextNeedMs(needMs: number, { startShare }: Watering, input: NeedInput): number {
  if (input.dryBackShare < startShare) return 0;
  // A breath is not dry-back: only a weight that stands still says more.
  return input.stable ? needMs + input.dtMs : needMs;
}
