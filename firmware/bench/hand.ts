/** The grower's hand: what a person does to tray, lid, scale and reservoir. */

import type { ProbeName } from '../../shared/board/probes';
import type { StoneWool } from '../../shared/physics/dry-back';
import { SALTS_MG_L_PER_MS } from '../../shared/physics/feed';
import { gFromMl } from '../../shared/physics/water';
import type { LidPlace } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';
import type { FaultName } from './faults';
import type { CropParameters } from './plant/crops';
import type { Plant } from './plant/plant';
import type { LampSwitch } from './plant/room';
import { saltsIn } from './plant/salts';

/** How long hands stay on the tray for each kind of work, ms. */
const BRIEFLY_MS = 15_000;
const AT_WORK_MS = MINUTE_MS;
/** Water in which wool is soaked, C: tempered tap water. */
const SOAK_C = 20;
/** A drained tray still drips a little: excess when it comes back on the scale, share of capacity. */
const DRIP_SHARE = 0.01;
/** An empty jug, g. */
const JUG_G = 90;

/** What comes about by itself later: the tray is out of its tub, the probe back in, the sun gone. */
export type ErrandName = 'tub' | 'probe' | 'sun' | `held-${ProbeName}`;

/** What hands are laid on. */
export interface Handled {
  readonly plant: Plant;
  /** The grower's hands are on the tray until then. */
  touchedUntilMs: number;
  fault(name: FaultName, on: boolean, forMs: number): void;
  /** Has `act` done `inMs` from now; a later word of the same name counts. */
  later(name: ErrandName, inMs: number, act: () => void): void;
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

  /** Soaks the tray in feed, lets it drain beside the scale, and puts it back at container capacity. */
  soak(): void {
    const { plant } = this.rig;
    const { wool } = plant;
    const heldG = wool.capacityG * (1 + DRIP_SHARE);
    plant.water.addedG += heldG - wool.heldG - wool.channelG;
    wool.channelG = 0;
    wool.heldG = heldG;
    plant.salts.trayMg = saltsIn(heldG, plant.salts.reservoirMgL);
    plant.thermal.rootZoneC = SOAK_C;
    this.putTray();
  }

  /** Shakes so much out of drained pieces, g: drops fall that would have hung. */
  shakeOff(g: number): void {
    const { plant } = this.rig;
    const outG = Math.min(g, plant.wool.heldG);
    plant.wool.heldG -= outG;
    plant.water.removedG += outG;
    this.touch(BRIEFLY_MS);
  }

  /** Takes the tray to a tub for a while, then lets it drain and puts it back. */
  soakBeside(forMs: number): void {
    const { plant } = this.rig;
    const { wool } = plant;
    this.takeTray();
    plant.water.addedG += wool.saturatedG - wool.heldG;
    wool.heldG = wool.saturatedG;
    plant.salts.trayMg = saltsIn(plant.trayWaterG, plant.salts.reservoirMgL);
    plant.thermal.rootZoneC = SOAK_C;
    this.rig.later('tub', forMs, () => this.soak());
  }

  /** Takes a probe out of its place for a while, into something of `celsius`: a warm hand, melting ice. */
  holdProbe(name: ProbeName, celsius: number, forMs: number): void {
    const { plant } = this.rig;
    plant.heldInC[name] = celsius;
    this.rig.later(`held-${name}`, forMs, () => {
      delete plant.heldInC[name];
    });
  }

  /** One seed to a plug. */
  sow(): void {
    const { plant } = this.rig;
    plant.seedlings.sow(this.crop, plant.medium.pieces, plant.lots);
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

  /** Something heavy left in the tray, and taken out again: it goes where the tray goes. */
  leaveInTray(g: number): void {
    this.rig.plant.leftInTrayG += g;
    this.touch(BRIEFLY_MS);
  }

  clearTray(): void {
    this.rig.plant.leftInTrayG = 0;
    this.touch(BRIEFLY_MS);
  }

  /** The lamp on, off, or by its timer. */
  switchLamp(lamp: LampSwitch): void {
    this.rig.plant.room.lamp = lamp;
    this.rig.plant.touched();
  }

  /** Hangs the lamp so many times as high as usual: its light falls by the square (a small lamp). */
  hangLamp(timesHeight: number): void {
    this.rig.plant.room.lampShare = 1 / timesHeight ** 2;
    this.rig.plant.touched();
  }

  /** The sun comes in on the tray for a while. */
  letSunIn(forMs: number): void {
    const { room } = this.rig.plant;
    room.sunny = true;
    this.rig.plant.touched();
    this.rig.later('sun', forMs, () => {
      room.sunny = false;
    });
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

  /** Reservoir filled to `ml`, or to the top, with feed of `feedMs` mS/cm (as strong as before). */
  refill(
    ml = this.rig.plant.parameters.pump.reservoirMl,
    feedMs = this.rig.plant.salts.reservoirMgL / SALTS_MG_L_PER_MS,
  ): void {
    this.rig.plant.refill(ml, feedMs);
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

  splitInHalf(): void {
    this.split(Math.ceil(this.rig.plant.medium.pieces / 2));
  }

  /** Moves plants on to another tray, plug and all: `pieces` of them stay. */
  split(pieces: number): void {
    const { plant } = this.rig;
    const { wool, water, salts } = plant;
    const medium = { ...plant.medium, pieces };
    const beforeG = plant.trayWaterG;
    const goneG = wool.keep(medium);
    salts.leave(goneG, beforeG);
    water.removedG += goneG;
    this.keepPlants(pieces, medium.pieceMl);
    plant.medium = medium;
    this.touch(AT_WORK_MS);
  }

  /**
   * Best plugs into soaked, drained blocks; the rest goes. The probe lies in the air meanwhile, then is
   * put into a block. The tray comes back to the scale.
   */
  transplant(blocks: StoneWool = this.rig.plant.parameters.blocks): void {
    const { plant } = this.rig;
    this.keepPlants(blocks.pieces, blocks.pieceMl);
    plant.medium = blocks;
    plant.wool.setMedium(blocks);
    this.soak();
    this.moveProbe(AT_WORK_MS);
    this.touch(AT_WORK_MS);
  }

  /** Pulls the probe out and puts it back in after a while: meanwhile it reads the room. */
  moveProbe(forMs: number): void {
    const { plant } = this.rig;
    plant.probeInHand = true;
    plant.touched();
    this.rig.later('probe', forMs, () => {
      plant.probeInHand = false;
    });
  }

  private keepPlants(count: number, pieceMl: number): void {
    const { plant } = this.rig;
    const goneG = plant.grownG * (1 - plant.seedlings.keep(count, pieceMl));
    plant.grownG -= goneG;
    plant.water.removedG += goneG;
  }

  private touch(forMs: number): void {
    const { plant } = this.rig;
    this.rig.touchedUntilMs = Math.max(this.rig.touchedUntilMs, plant.nowMs + forMs);
    plant.touched();
  }
}
