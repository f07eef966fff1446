/** What is really so on the bench, whatever the board believes. */

import { type ProbeFields, probeFields } from '../../shared/board/probes';
import type { ResetCause } from '../../shared/board/words';
import { OUTPUT } from '../../shared/board/words';
import { dryBackShare } from '../../shared/physics/dry-back';
import { SALTS_MG_L_PER_MS } from '../../shared/physics/feed';
import { mlFromG } from '../../shared/physics/water';
import type { SimulatedBoard } from './board';
import type { FaultName } from './faults';
import { lidNow } from './plant/lid';
import type { Plant } from './plant/plant';
import { PROBE_PLACES } from './plant/probes';
import type { Rig } from './rig';

/** One start of the board. */
export interface BootRecord {
  /** Bench time, ms. */
  readonly atMs: number;
  readonly cause: ResetCause;
  /** What the firmware threw, for `exception`. */
  readonly error: string | null;
}

/** The true temperature in each probe's place, and all else. */
export interface BenchState extends ProbeFields<'celsius', number> {
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
    /** Way to emergence, 1 when half of what comes has come, and the share of the seed that came. */
    readonly progress: number;
    readonly emergedShare: number;
    readonly leafCm2: number;
    /** Fresh mass of all plants, dead ones too, as the scale feels it, g. */
    readonly massG: number;
    /** Plants alive, the dead among those that came up, and whether the living hang their leaves. */
    readonly aliveCount: number;
    readonly deadShare: number;
    readonly wilted: boolean;
    /** Days wilted in all. */
    readonly wiltedDays: number;
    /** Living mass against plants in the same light and warmth that lacked neither water nor salts. */
    readonly growthShare: number;
    /** Of one living plant: fresh mass; taken up since sowing; still within reach of its roots. */
    readonly each: {
      readonly freshG: number;
      readonly takenMl: number;
      readonly takenSaltsMg: number;
      /** Held in a gram of its dry matter, mg. */
      readonly saltsMgPerDryG: number;
      readonly waterMl: number;
      readonly saltsMg: number;
    };
  };
  /** Light on the tray, umol/m2s. */
  readonly lightPpfd: number;
  /** Feed salts in the water of the wool and in the reservoir, mS/cm above the water's own. */
  readonly feed: { readonly woolMs: number; readonly reservoirMs: number };
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
  const { wool, pump, water } = plant;
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
    ...probeFields('celsius', (name) => PROBE_PLACES[name].trueC(plant)),
    roomC: plant.room.airC,
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
    plants: plantsOf(plant),
    lightPpfd: plant.room.ppfd,
    feed: {
      woolMs: plant.salts.strength(plant.trayWaterG) / SALTS_MG_L_PER_MS,
      reservoirMs: plant.salts.reservoirMgL / SALTS_MG_L_PER_MS,
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

function plantsOf({ seedlings, grownG, wool, salts }: Plant): BenchState['plants'] {
  const { aliveCount } = seedlings;
  const each = (total: number): number => (aliveCount > 0 ? total / aliveCount : 0);
  return {
    progress: seedlings.progress,
    emergedShare: seedlings.emergedShare,
    leafCm2: seedlings.leafCm2,
    massG: grownG,
    aliveCount,
    deadShare: seedlings.deadShare,
    wilted: seedlings.wilted,
    wiltedDays: seedlings.wiltedDays,
    growthShare: seedlings.growthShare,
    each: {
      freshG: each(seedlings.livingG),
      takenMl: each(seedlings.takenMl),
      takenSaltsMg: each(seedlings.takenSaltsMg),
      saltsMgPerDryG: seedlings.saltsMgPerDryG,
      waterMl: each(mlFromG(wool.inPiecesG)),
      saltsMg: each(salts.trayMg),
    },
  };
}
