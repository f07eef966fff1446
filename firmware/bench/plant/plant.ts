/**
 * The plant: room, mat, tray, wool, water, seedlings, pump and the three sensors, advanced in steps
 * of at most a second. Knows nothing of boards, faults or links; those are given to it as `Disturbance`.
 *
 * Water is conserved: reservoir + tube + wool + channels + seedlings + jug + drained + evaporated
 * + spilled + removed - added stays what it was (`Plant.balanceG`). Growth is counted as water,
 * which 95 % of it is.
 */
import type { StoneWool } from '../../../shared/physics/dry-back';
import { gFromMl, mlFromG } from '../../../shared/physics/water';
import type { LidPlace } from '../../../shared/profile/profile';
import { Random } from '../random';
import { inSeries, LID_EFFECTS, lidNow, lidVapourConductance } from './lid';
import { LoadCell, type LoadCellParameters } from './load-cell';
import { Pump, type PumpParameters } from './pump';
import { Room, type RoomParameters } from './room';
import { Seedlings } from './seedlings';
import {
  type MatParameters,
  type RootZoneHeat,
  ThermalMasses,
  trayHeatCapacityJK,
} from './thermal';
import { Thermistor, type ThermistorParameters } from './thermistor';
import { EVAPORATION_J_PER_G, saturationKpa } from './vapour';
import { Wool } from './wool';

export interface PlantParameters {
  readonly seed: number;
  /** Time of day at the start, ms after midnight in the room. */
  readonly startOfDayMs: number;
  readonly room: RoomParameters;
  readonly mat: MatParameters;
  readonly medium: StoneWool;
  readonly pump: PumpParameters;
  readonly cell: LoadCellParameters;
  readonly probe: ThermistorParameters;
  readonly matProbe: ThermistorParameters;
  /** Empty plastic tray, g. The lid stands on the frame round the scale, not on the tray. */
  readonly trayG: number;
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
  leakGPerS: number;
}

/** Where water outside tray and reservoir went, g. */
export interface WaterAccount {
  addedG: number;
  evaporatedG: number;
  spilledG: number;
  removedG: number;
}

/**
 * Wet wool through its drying skin: g per square metre, hour and kPa. With the lid off this gives
 * 1..2 mm a day from the wool alone (common practice).
 */
const WOOL_CONDUCTANCE = 35;
/** The wool's surface follows the root zone only in part: it faces the cooler air. */
const SURFACE_SHARE = 0.6;
/** Below this share of container capacity the top has dried and evaporation falls off. */
const DRY_TOP_SHARE = 0.3;
/** Heat of the mat that reaches the load cell through platform and insulation, share. */
const CELL_WARMING_SHARE = 0.1;

/** Slow parts - room, evaporation, growth, wear - are brought up to date this often. */
const SLOW_MS = 60_000;
const DAY_MS = 86_400_000;

export class Plant {
  readonly room: Room;
  readonly thermal: ThermalMasses;
  readonly wool: Wool;
  readonly seedlings: Seedlings;
  readonly pump: Pump;
  readonly cell: LoadCell;
  readonly probe: Thermistor;
  readonly matProbe: Thermistor;
  readonly water: WaterAccount = { addedG: 0, evaporatedG: 0, spilledG: 0, removedG: 0 };
  readonly random: Random;

  /** Time since the start, ms, power cuts included. */
  nowMs = 0;
  lid: LidPlace = 'off';
  trayOnScale = false;
  /** Mass of a jug or known weight on the platform, g; water caught in the jug apart. */
  weightG = 0;
  jugOnScale = false;
  jugWaterG = 0;
  /** Water bound in seedlings, g. */
  grownG = 0;
  /** Water that reached tray or jug since the start, ml. */
  deliveredMl = 0;
  private readonly heat: RootZoneHeat = {
    capacityJK: 1000,
    lossWK: 1,
    evaporationW: 0,
    onMat: false,
  };
  private evaporationGPerS = 0;
  private growthGPerS = 0;
  private slowDueMs = 0;
  private slowDoneMs = 0;
  private readonly matOnW: number;

  constructor(readonly parameters: PlantParameters) {
    this.random = new Random(parameters.seed);
    const weather = new Random(parameters.seed ^ 0x5eed);
    this.room = new Room(parameters.room, weather, this.hour);
    this.thermal = new ThermalMasses(parameters.mat, this.room.airC);
    this.wool = new Wool(parameters.medium);
    this.seedlings = new Seedlings(parameters.mat.areaM2);
    this.pump = new Pump(parameters.pump);
    this.cell = new LoadCell(parameters.cell);
    this.probe = new Thermistor(parameters.probe, this.room.airC);
    this.matProbe = new Thermistor(parameters.matProbe, this.room.airC);
    this.matOnW = parameters.mat.fluxWM2 * parameters.mat.areaM2;
  }

  /** Hour of the day in the room, 0..24. */
  get hour(): number {
    return ((this.parameters.startOfDayMs + this.nowMs) % DAY_MS) / 3_600_000;
  }

  /** Everything in the tray, the tray itself included, g. */
  get trayMassG(): number {
    const { wool } = this;
    return this.parameters.trayG + wool.dryG + wool.heldG + wool.channelG + this.grownG;
  }

  /** What stands on the platform, g. `lifted`: somebody holds the tray up. */
  onScaleG(lifted: boolean): number {
    const trayG = this.trayOnScale && !lifted ? this.trayMassG : 0;
    return trayG + this.weightG + this.jugWaterG;
  }

  /** All water there is or was, g, less what was brought in: constant but for rounding. */
  get balanceG(): number {
    const { wool, water, pump } = this;
    const inside = wool.heldG + wool.channelG + this.grownG + this.jugWaterG;
    const outside = wool.drainedG + water.evaporatedG + water.spilledG + water.removedG;
    return gFromMl(pump.reservoirMl + pump.tubeMl) + inside + outside - water.addedG;
  }

  /** Advances by `stepMs` (1..1000). Mat and pump were on for the first so many ms of it. */
  step(stepMs: number, matMs: number, pumpMs: number, wrong: Disturbance): void {
    if (this.nowMs >= this.slowDueMs) this.updateSlowly(wrong);
    const dtS = stepMs / 1000;
    const lifted = wrong.trayLifted;
    const matShare = wrong.matDead ? 0 : wrong.matStuckOn ? 1 : matMs / stepMs;
    this.heat.onMat = this.trayOnScale && !lifted;
    this.thermal.step(dtS, matShare * this.matOnW, this.heat, this.room.airC);
    const inTrayG = this.pumpWater(pumpMs, stepMs, wrong);
    this.stepWater(dtS, inTrayG, wrong);
    this.probe.step(dtS, wrong.probeOut ? this.room.airC : this.thermal.rootZoneC);
    this.matProbe.step(dtS, this.thermal.matC);
    this.cell.step(dtS, this.onScaleG(lifted));
    this.nowMs += stepMs;
  }

  /** After the grower changed something: evaporation, heat loss and the like follow at once. */
  touched(): void {
    this.slowDueMs = this.nowMs;
  }

  /** Water of `waterC` onto the wool from above. */
  addWater(g: number, waterC: number): void {
    this.thermal.mixIn(g, waterC, this.heat.capacityJK);
    this.wool.step(0, g);
  }

  private pumpWater(pumpMs: number, stepMs: number, wrong: Disturbance): number {
    let outMl = this.pump.run(pumpMs, stepMs, wrong.flowShare, wrong.reservoirEmpty);
    if (wrong.siphonMlPerS > 0) {
      outMl += this.pump.siphon((wrong.siphonMlPerS * stepMs) / 1000, wrong.reservoirEmpty);
    }
    if (outMl === 0) return 0;
    const outG = gFromMl(outMl);
    if (wrong.tubeOff || wrong.trayLifted || !(this.jugOnScale || this.trayOnScale)) {
      this.water.spilledG += outG;
      return 0;
    }
    this.deliveredMl += outMl;
    if (!this.jugOnScale) return outG;
    this.jugWaterG += outG;
    return 0;
  }

  private stepWater(dtS: number, inG: number, wrong: Disturbance): void {
    const { wool, water } = this;
    if (inG > 0) this.thermal.mixIn(inG, this.room.airC, this.heat.capacityJK);
    wool.step(dtS, inG);
    const wantedG = (this.evaporationGPerS + this.growthGPerS) * dtS;
    if (wantedG > 0 && wool.heldG > wantedG) {
      const growthG = this.growthGPerS * dtS;
      wool.heldG -= wantedG;
      this.grownG += growthG;
      water.evaporatedG += wantedG - growthG;
    }
    if (wrong.leakGPerS > 0) water.spilledG += wool.lose(wrong.leakGPerS * dtS);
  }

  private updateSlowly(wrong: Disturbance): void {
    const dtS = (this.nowMs - this.slowDoneMs) / 1000;
    this.slowDoneMs = this.nowMs;
    this.slowDueMs = this.nowMs + SLOW_MS;
    const { wool, seedlings, thermal, heat, parameters } = this;
    this.room.update(this.hour, dtS);
    this.pump.update();
    this.probe.setInAir(wrong.probeOut);
    this.matProbe.update();
    this.cell.setTemperature(this.room.airC + CELL_WARMING_SHARE * (thermal.matC - this.room.airC));
    if (wool.heldG > 0) seedlings.update(dtS, thermal.rootZoneC, wool.share);
    this.growthGPerS = (Math.max(0, seedlings.freshG - this.grownG) * 1000) / SLOW_MS;
    const effect = LID_EFFECTS[wrong.lidOff ? 'off' : lidNow(this.lid, this.room.lit)];
    heat.lossWK = effect.lossWM2K * parameters.mat.areaM2;
    heat.capacityJK = trayHeatCapacityJK(
      wool.heldG + wool.channelG + this.grownG,
      wool.dryG,
      parameters.trayG,
    );
    this.evaporationGPerS = this.evaporation(lidVapourConductance(effect, this.room.airC));
    heat.evaporationW = this.evaporationGPerS * EVAPORATION_J_PER_G;
  }

  /**
   * E = A g (es(Ts) - e), g/s: surface temperature Ts between room and root zone, and g the
   * conductance of wool and leaves in series with the lid's air exchange.
   */
  private evaporation(lidConductance: number): number {
    const { wool, seedlings, thermal, room, parameters } = this;
    if (wool.heldG <= 0) return 0;
    const surfaceC = room.airC + SURFACE_SHARE * (thermal.rootZoneC - room.airC);
    const deficitKpa = Math.max(0, saturationKpa(surfaceC) - room.vapourKpa);
    const bare = WOOL_CONDUCTANCE * Math.min(1, wool.share / DRY_TOP_SHARE);
    const leaves = seedlings.conductance(room.lit, wool.share);
    const conductance = inSeries(bare + leaves, lidConductance);
    return (parameters.mat.areaM2 * conductance * deficitKpa) / 3600;
  }

  /** Reservoir back to `ml`; the difference counts as brought in. */
  refill(ml: number): void {
    this.water.addedG += gFromMl(ml - this.pump.reservoirMl);
    this.pump.reservoirMl = ml;
  }

  /** What a jug caught goes back to the reservoir. */
  emptyJug(): number {
    const caughtG = this.jugWaterG;
    this.jugWaterG = 0;
    this.pump.reservoirMl += mlFromG(caughtG);
    return caughtG;
  }
}
