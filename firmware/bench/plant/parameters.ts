/** What a plant is made of, what can be wrong round it, and where its water went. */
import type { OfProbes } from '../../../shared/board/probes';
import type { StoneWool } from '../../../shared/physics/dry-back';
import type { LoadCellParameters } from './load-cell';
import type { PumpParameters } from './pump';
import type { RoomParameters } from './room';
import type { MatParameters } from './thermal';
import type { ThermistorParameters } from './thermistor';
import type { UnderWool } from './wool';

export interface PlantParameters {
  readonly seed: number;
  /** Time of day at the start, ms after midnight in the room. */
  readonly startOfDayMs: number;
  readonly room: RoomParameters;
  readonly mat: MatParameters;
  readonly medium: StoneWool;
  /** What plants are moved on to. */
  readonly blocks: StoneWool;
  /** What lies under the wool. */
  readonly under: UnderWool;
  readonly pump: PumpParameters;
  readonly cell: LoadCellParameters;
  readonly probes: OfProbes<ThermistorParameters>;
  /** Empty plastic tray, g. The lid stands on the frame round the scale, not on the tray. */
  readonly trayG: number;
  /** Strength of the feed in the reservoir at the start, mS/cm above the water's own. */
  readonly feedMs: number;
}

/** What is wrong with the outside world during a step; all neutral in a sound one. */
export interface Disturbance {
  matDead: boolean;
  matStuckOn: boolean;
  probeOut: boolean;
  lidOff: boolean;
  trayLifted: boolean;
  /** The tube lies beside the tray. */
  tubeOff: boolean;
  /** Flow of a bad tube, share of a sound one. */
  flowShare: number;
  reservoirEmpty: boolean;
  siphonMlPerS: number;
  /** Out of the tray: only what runs freely, or what a hanging cloth draws from the wool as well. */
  leakGPerS: number;
  wickGPerS: number;
}

/** Where water outside tray and reservoir went, g. */
export interface WaterAccount {
  addedG: number;
  evaporatedG: number;
  spilledG: number;
  removedG: number;
}
