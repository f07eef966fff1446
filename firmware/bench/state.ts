/** What is really so on the bench, whatever the board believes. */

import type { ResetCause } from '../../shared/board/words';
import { OUTPUT } from '../../shared/board/words';
import { dryBackShare } from '../../shared/physics/dry-back';
import type { SimulatedBoard } from './board';
import type { FaultName } from './faults';
import { lidNow } from './plant/lid';
import type { Rig } from './rig';

/** One start of the board. */
export interface BootRecord {
  /** Bench time, ms. */
  readonly atMs: number;
  readonly cause: ResetCause;
  /** What the firmware threw, for `exception`. */
  readonly error: string | null;
}

export interface BenchState {
  readonly seed: number;
  /** Time since the bench started, s, and the time of day in its room, Unix ms. */
  readonly timeS: number;
  readonly unixMs: number;
  readonly powered: boolean;
  readonly boots: number;
  readonly lastBoot: BootRecord | null;
  readonly outputs: {
    readonly mat: boolean;
    readonly pump: boolean;
    readonly sounder: boolean;
    readonly lamp: boolean;
  };
  readonly roomC: number;
  readonly rootZoneC: number;
  readonly matC: number;
  readonly lid: string;
  readonly tray: {
    readonly onScale: boolean;
    /** Everything in the tray and the tray itself, g, and the same dry and at container capacity. */
    readonly massG: number;
    readonly dryG: number;
    readonly capacityG: number;
    readonly dryBackShare: number;
    readonly waterG: number;
    readonly channelG: number;
  };
  readonly plants: {
    readonly thermalKD: number;
    readonly emergedShare: number;
    readonly leafCm2: number;
    readonly massG: number;
  };
  readonly scale: { readonly loadG: number; readonly jugWaterG: number };
  readonly pump: {
    readonly mlPerS: number;
    readonly ranS: number;
    readonly deliveredMl: number;
    readonly reservoirMl: number;
    readonly tubeMl: number;
  };
  readonly lost: {
    readonly evaporatedG: number;
    readonly drainedG: number;
    readonly spilledG: number;
  };
  /** Active faults; `leftS` null when they end only by hand. */
  readonly faults: readonly { readonly name: FaultName; readonly leftS: number | null }[];
}

/** Snapshot of rig and board. */
export function stateOf(
  rig: Rig,
  board: Pick<SimulatedBoard, 'outputs' | 'sounderOn' | 'lampOn'>,
  powered: boolean,
  boots: readonly BootRecord[],
): BenchState {
  const { plant, faults } = rig;
  const { wool, seedlings, pump, water } = plant;
  const outputs = powered ? board.outputs() : 0;
  // Container capacity as the scale would show it: the mass of the plants counts as tray.
  const dryG = plant.parameters.trayG + wool.dryG;
  const capacityG = dryG + wool.capacityG;
  return {
    seed: plant.parameters.seed,
    timeS: plant.nowMs / 1000,
    unixMs: rig.unixMs,
    powered,
    boots: boots.length,
    lastBoot: boots.at(-1) ?? null,
    outputs: {
      mat: (outputs & OUTPUT.matOn) !== 0,
      pump: (outputs & OUTPUT.pumpOn) !== 0,
      sounder: powered && board.sounderOn,
      lamp: powered && board.lampOn,
    },
    roomC: plant.room.airC,
    rootZoneC: plant.thermal.rootZoneC,
    matC: plant.thermal.matC,
    lid: faults.has('lid-open') ? 'off' : lidNow(plant.lid, plant.room.lit),
    tray: {
      onScale: plant.trayOnScale && !faults.has('tray-lifted'),
      massG: plant.trayMassG,
      dryG,
      capacityG,
      dryBackShare: dryBackShare(dryG + wool.heldG, { capacityG, dryG }),
      waterG: wool.heldG,
      channelG: wool.channelG,
    },
    plants: {
      thermalKD: seedlings.thermalKD,
      emergedShare: seedlings.emergedShare,
      leafCm2: seedlings.leafCm2,
      massG: plant.grownG,
    },
    scale: {
      loadG: plant.onScaleG(faults.has('tray-lifted')),
      jugWaterG: plant.jugWaterG,
    },
    pump: {
      mlPerS: pump.mlPerS,
      ranS: pump.ranMs / 1000,
      deliveredMl: plant.deliveredMl,
      reservoirMl: pump.reservoirMl,
      tubeMl: pump.tubeMl,
    },
    lost: {
      evaporatedG: water.evaporatedG,
      drainedG: wool.drainedG,
      spilledG: water.spilledG,
    },
    faults: faults.active.map((name) => {
      const leftS = (faults.endsMs(name) - plant.nowMs) / 1000;
      return { name, leftS: Number.isFinite(leftS) ? leftS : null };
    }),
  };
}
