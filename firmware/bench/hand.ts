/** The grower's hand: what a person does to tray, lid, scale and reservoir. */
import type { StoneWool } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import type { LidPlace } from '../../shared/profile/profile';
import type { FaultName } from './faults';
import type { Plant } from './plant/plant';
import type { CropParameters } from './plant/seedlings';
import { BLOCKS } from './plant/wool';

/** How long hands stay on the tray for each kind of work, ms. */
const BRIEFLY_MS = 15_000;
const AT_WORK_MS = 60_000;
/** Water in which wool is soaked, C: tempered tap water. */
const SOAK_C = 20;
/** A drained tray still drips a little: excess when it comes back on the scale, share of capacity. */
const DRIP_SHARE = 0.01;
/** An empty jug, g. */
const JUG_G = 90;

/** What hands are laid on. */
export interface Handled {
  readonly plant: Plant;
  /** The grower's hands are on the tray until then. */
  touchedUntilMs: number;
  fault(name: FaultName, on: boolean, forMs: number): void;
}

export class Hand {
  constructor(
    private readonly rig: Handled,
    private readonly crop: CropParameters,
  ) {}

  /** Tray with dry wool, or whatever is in it, on to the scale. */
  putTray(): void {
    this.rig.plant.trayOnScale = true;
    this.touch(BRIEFLY_MS);
  }

  takeTray(): void {
    this.rig.plant.trayOnScale = false;
    this.touch(BRIEFLY_MS);
  }

  /** Holds the tray up for a while and puts it back. */
  liftTray(forMs: number): void {
    this.rig.fault('tray-lifted', true, forMs);
    this.rig.touchedUntilMs = this.rig.plant.nowMs + forMs + BRIEFLY_MS;
  }

  /** Soaks the tray, lets it drain beside the scale, and puts it back at container capacity. */
  soak(): void {
    const { plant } = this.rig;
    const { wool } = plant;
    const heldG = wool.capacityG * (1 + DRIP_SHARE);
    plant.water.addedG += heldG - wool.heldG - wool.channelG;
    wool.channelG = 0;
    wool.heldG = heldG;
    plant.thermal.rootZoneC = SOAK_C;
    this.putTray();
  }

  /** One seed to a plug. */
  sow(): void {
    const { plant } = this.rig;
    plant.seedlings.sow(this.crop, plant.parameters.medium.pieces, plant.random);
    this.touch(AT_WORK_MS);
  }

  /** Puts the lid so; it stands on the frame round the scale, so the weight stays. */
  setLid(place: LidPlace): void {
    this.rig.plant.lid = place;
    this.touch(BRIEFLY_MS);
  }

  /** A known weight on to the scale, or on to the tray. */
  putWeight(g: number): void {
    this.rig.plant.weightG += g;
    this.touch(BRIEFLY_MS / 3);
  }

  takeWeight(): void {
    this.rig.plant.weightG = 0;
    this.touch(BRIEFLY_MS / 3);
  }

  /** A jug under the tube, on the scale: the pump fills it instead of the tray. */
  putJug(): void {
    this.rig.plant.jugOnScale = true;
    this.putWeight(JUG_G);
  }

  /** Takes the jug away and pours it back into the reservoir; returns what was in it, g. */
  takeJug(): number {
    const { plant } = this.rig;
    plant.jugOnScale = false;
    this.takeWeight();
    return plant.emptyJug();
  }

  /** Reservoir filled to `ml`, or to the top. */
  refill(ml = this.rig.plant.parameters.pump.reservoirMl): void {
    this.rig.plant.refill(ml);
  }

  /** Water out of the reservoir until `ml` are left. */
  drainReservoir(ml: number): void {
    const { plant } = this.rig;
    const outMl = Math.max(0, plant.pump.reservoirMl - ml);
    plant.pump.reservoirMl -= outMl;
    plant.water.removedG += gFromMl(outMl);
  }

  /** A fine spray over the tray. */
  mist(g: number): void {
    const { plant } = this.rig;
    plant.water.addedG += g;
    plant.addWater(g, plant.room.airC);
    this.touch(BRIEFLY_MS);
  }

  /** Best plugs into soaked, drained blocks; the rest goes. The tray comes back to the scale. */
  transplant(blocks: StoneWool = BLOCKS): void {
    const { plant } = this.rig;
    const { wool } = plant;
    const thrownG = plant.seedlings.keep(blocks.pieces);
    plant.grownG -= thrownG;
    plant.water.removedG += thrownG;
    wool.setMedium(blocks);
    this.soak();
    this.touch(AT_WORK_MS);
  }

  private touch(forMs: number): void {
    const { plant } = this.rig;
    this.rig.touchedUntilMs = Math.max(this.rig.touchedUntilMs, plant.nowMs + forMs);
    plant.touched();
  }
}
