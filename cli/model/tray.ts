/** All that a journal tells of its tray: each figure with what it lies between, or why it cannot be told. Pure. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import type { Record } from '../explain/record';
import { type Drying, dryingOf } from './drying';
import { type FeltDay, feltDayOf } from './felt-hours';
import { growthOf, type PlantGrowth } from './growth';
import { alikeStretches, type HeatLoss, heatLossOf } from './loss';
import { type MatHealth, matHealthOf } from './mat';
import { type PumpFlow, pumpFlowOf } from './pump-flow';
import { type ScaleZero, scaleZeroOf } from './scale-zero';
import { fittedStretches } from './stretches';

export interface TrayModel {
  readonly mat: Verdict<MatHealth>;
  readonly heat: Verdict<HeatLoss>;
  readonly hours: Verdict<FeltDay>;
  readonly drying: Verdict<readonly Drying[]>;
  readonly growth: Verdict<PlantGrowth>;
  readonly pump: Verdict<PumpFlow>;
  readonly scaleZero: Verdict<ScaleZero>;
}

export function trayModelOf(record: Record): TrayModel {
  const stretches = fittedStretches(record);
  const mat = matHealthOf(record, stretches);
  const heat = mat.ok ? heatLossOf(stretches, mat.value) : mat;
  const drying = dryingOf(record);
  return {
    mat,
    heat,
    hours: heat.ok ? feltDayOf(record, alikeStretches(stretches)) : heat,
    drying:
      drying.length > 0
        ? accept(drying)
        : decline('No lid stood for a whole day in which all that was given was weighed.'),
    growth: growthOf(record),
    pump: pumpFlowOf(record),
    scaleZero: scaleZeroOf(record),
  };
}

/** What no journal of this board tells, and why. */
export const NEVER_TOLD = [
  {
    what: 'room',
    why: 'No probe is in the room: what is felt of it has the lamp and evaporation in it.',
  },
] as const;
