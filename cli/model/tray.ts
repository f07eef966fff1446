/** All that a journal tells of its tray: each figure with what it lies between, or why it cannot be told. Pure. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import type { CauseName } from '../explain/causes';
import type { Record } from '../explain/record';
import { storyOfRecord } from '../explain/story';
import { type Drying, dryingOf } from './drying';
import { type FeltDay, feltDayOf } from './felt-hours';
import { growthOf, type PlantGrowth } from './growth';
import { alikeStretches, type HeatLoss, heatLossOf } from './loss';
import { type MatHealth, matHealthOf, type Spoilt } from './mat';
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
  const mat = matHealthOf(record, stretches, spoiltTimes(record));
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

/** What keeps a mat on, or off, in any room. */
const NOT_THE_ROOM: readonly CauseName[] = [
  'power-out',
  'image-awaited',
  'controller-hung',
  'supply-weak',
  'program-error',
  'probe-open',
  'probe-short',
  'probe-stuck',
  'probe-out',
  'mat-probe-open',
  'mat-probe-short',
  'mat-probe-stuck',
  'mat-dead',
  'mat-lead',
  'mat-cut-out',
  'mat-fuse',
  'mat-switch-open',
  'mat-stuck-on',
  'mat-switch',
  'lid-open',
  'lid-broken',
  'moving-air',
  'cold-water',
  'wick',
  'tray-lifted',
];

const spoiltTimes = (record: Record): readonly Spoilt[] =>
  storyOfRecord(record).incidents.filter(({ causes: [likeliest] }) =>
    NOT_THE_ROOM.some((cause) => cause === likeliest?.cause),
  );

/** What no journal of this board tells, and why. */
export const NEVER_TOLD = [
  {
    what: 'room',
    why: 'No probe is in the room: what is felt of it has the lamp and evaporation in it.',
  },
] as const;
