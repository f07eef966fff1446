/**
 * The plant: room, mat, tray, wool, water, seedlings, pump and the sensors, advanced in steps
 * of at most ten seconds. Knows nothing of boards, faults or links; those are given to it as `Disturbance`.
 *
 * Water is conserved: reservoir + tube + wool + channels + seedlings + jug + drained + evaporated
 * + spilled + removed - added stays what it was (`Plant.balanceG`). Growth is counted as water,
 * which 95 % of it is.
 */
import { type OfProbes, ofProbes, PROBE_NAMES, type ProbeName } from '../../../shared/board/probes';
import type { StoneWool } from '../../../shared/physics/dry-back';
import { SALTS_MG_L_PER_MS } from '../../../shared/physics/feed';
import { gFromMl, mlFromG } from '../../../shared/physics/water';
import type { LidPlace } from '../../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { Random } from '../random';
import { type TrayLoss, trayLoss } from './climate';
import { isTopDry } from './germination';
import { LID_EFFECTS, lidNow } from './lid';
import { LoadCell } from './load-cell';
import type { Disturbance, PlantParameters, WaterAccount } from './parameters';
import { PROBE_PLACES } from './probes';
import { Pump } from './pump';
import { Room } from './room';
import { Salts, saltsIn } from './salts';
import { Seedlings } from './seedlings';
import { type RootZoneHeat, ThermalMasses, trayHeatCapacityJK } from './thermal';
import { Thermistor } from './thermistor';
import { Wool } from './wool';

/** Heat of the mat that reaches the load cell through platform and insulation, share. */
const CELL_WARMING_SHARE = 0.1;

/** A mist keeps the top of the plugs wet for so long under no lid (common practice; no source found). */
const MISTED_MS = 2 * HOUR_MS;

/** Slow parts - room, evaporation, growth, wear - are brought up to date this often. */
const SLOW_MS = MINUTE_MS;

export class Plant {
  readonly room: Room;
  readonly thermal: ThermalMasses;
  readonly wool: Wool;
  readonly seedlings: Seedlings;
  readonly salts: Salts;
  readonly pump: Pump;
  readonly cell: LoadCell;
  readonly probes: OfProbes<Thermistor>;
  readonly water: WaterAccount = { addedG: 0, evaporatedG: 0, spilledG: 0, removedG: 0 };
  /** Noise of the readings. */
  readonly random: Random;
  /** What differs from one lot of seed to the next: the same lots, however often anything was read before. */
  readonly lots: Random;

  /** Time since the start, ms, power cuts included. */
  nowMs = 0;
  lid: LidPlace = 'off';
  trayOnScale = false;
  /** Mass of a jug or known weight on the platform, g; water caught in the jug apart. */
  weightG = 0;
  jugOnScale = false;
  jugWaterG = 0;
  /** Something left lying in the tray, g: it goes where the tray goes. */
  leftInTrayG = 0;
  /** The grower holds the probe in the hand, or it lies beside the tray. */
  probeInHand = false;
  /** What the grower holds a probe in, C: a warm hand, melting ice. */
  readonly heldInC: Partial<Record<ProbeName, number>> = {};
  /** What is in the tray; changes when plants move on. */
  medium: StoneWool;
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
  private loss: TrayLoss;
  private growthGPerS = 0;
  private topWetUntilMs = 0;
  private slowDueMs = 0;
  private slowDoneMs = 0;
  private readonly matOnW: number;
  /** The probes in a list, for each step moves them. */
  private readonly beads: readonly {
    readonly name: ProbeName;
    readonly probe: Thermistor;
    readonly trueC: (plant: Plant) => number;
  }[];

  constructor(readonly parameters: PlantParameters) {
    this.random = new Random(parameters.seed);
    this.lots = new Random(parameters.seed ^ 0x107);
    const weather = new Random(parameters.seed ^ 0x5eed);
    this.room = new Room(parameters.room, weather, this.hour);
    this.thermal = new ThermalMasses(parameters.mat, this.room.airC);
    this.medium = parameters.medium;
    this.wool = new Wool(parameters.medium, parameters.under);
    this.seedlings = new Seedlings(parameters.mat.areaM2, parameters.medium.pieceMl);
    this.salts = new Salts(parameters.feedMs * SALTS_MG_L_PER_MS);
    this.pump = new Pump(parameters.pump);
    this.cell = new LoadCell(parameters.cell);
    this.probes = ofProbes((name) => new Thermistor(parameters.probes[name], this.room.airC));
    this.beads = PROBE_NAMES.map((name) => {
      const { trueC } = PROBE_PLACES[name];
      return { name, probe: this.probes[name], trueC };
    });
    this.matOnW = parameters.mat.fluxWM2 * parameters.mat.areaM2;
    this.loss = this.lossUnder(this.lid);
  }

  /** Hour of the day in the room, 0..24. */
  get hour(): number {
    return ((this.parameters.startOfDayMs + this.nowMs) % DAY_MS) / HOUR_MS;
  }

  /** Water in wool and channels, g. */
  get trayWaterG(): number {
    return this.wool.heldG + this.wool.channelG;
  }

  /** Temperature of the leaves, C, and what the tray loses now by wool and leaves together, g/h. */
  get leafC(): number {
    return this.loss.leafC;
  }

  get lossGPerH(): number {
    return (this.loss.woolGM2H + this.loss.leafGM2H) * this.parameters.mat.areaM2;
  }

  /** Everything in the tray, the tray itself included, g. */
  get trayMassG(): number {
    const { wool } = this;
    const waterG = this.trayWaterG + this.grownG;
    return this.parameters.trayG + this.leftInTrayG + wool.dryG + waterG;
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

  /** Advances by `stepMs` (1..10000). Mat and pump were on for the first so many ms of it. */
  step(stepMs: number, matMs: number, pumpMs: number, wrong: Disturbance): void {
    if (this.nowMs >= this.slowDueMs) this.updateSlowly(wrong);
    const dtS = stepMs / 1000;
    const lifted = wrong.trayLifted;
    const matShare = wrong.matDead ? 0 : wrong.matStuckOn ? 1 : matMs / stepMs;
    this.heat.onMat = this.trayOnScale && !lifted;
    this.thermal.step(dtS, matShare * this.matOnW, this.heat, this.room.airC);
    const inTrayG = this.pumpWater(pumpMs, stepMs, wrong);
    this.stepWater(dtS, inTrayG, wrong);
    for (const { name, probe, trueC } of this.beads) {
      const hangs = name === 'rootZone' && this.probeInAir(wrong);
      const placeC = hangs ? this.room.airC : trueC(this);
      probe.step(dtS, this.heldInC[name] ?? placeC);
    }
    this.cell.step(dtS, this.onScaleG(lifted));
    this.nowMs += stepMs;
  }

  /** After the grower changed something: evaporation, heat loss and the like follow at once. */
  touched(): void {
    this.slowDueMs = this.nowMs;
  }

  /** Plain water of `waterC` onto wool and leaves from above. */
  addWater(g: number, waterC: number): void {
    this.thermal.mixIn(g, waterC, this.heat.capacityJK);
    this.intoWool(0, g);
    this.topWetUntilMs = this.nowMs + MISTED_MS;
  }

  private probeInAir(wrong: Disturbance): boolean {
    return wrong.probeOut || this.probeInHand;
  }

  /** Water into wool and channels; what drains takes its salts along. */
  private intoWool(dtS: number, inG: number): void {
    const { wool } = this;
    const beforeG = this.trayWaterG + inG;
    const drainedG = wool.drainedG;
    wool.step(dtS, inG);
    this.salts.leave(wool.drainedG - drainedG, beforeG);
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
    const { wool, water, salts } = this;
    if (inG > 0) {
      this.thermal.mixIn(inG, this.room.airC, this.heat.capacityJK);
      salts.trayMg += saltsIn(inG, salts.reservoirMgL);
    }
    this.intoWool(dtS, inG);
    const perStep = (this.parameters.mat.areaM2 * dtS) / 3600;
    const evaporatedG = (this.loss.woolGM2H + this.loss.leafGM2H) * perStep;
    const growthG = this.growthGPerS * dtS;
    const wantedG = evaporatedG + growthG;
    if (wantedG > 0 && wool.heldG > wantedG) {
      wool.heldG -= wantedG;
      this.grownG += growthG;
      water.evaporatedG += evaporatedG;
      this.seedlings.takenMl += mlFromG(this.loss.leafGM2H * perStep + growthG);
    }
    if (wrong.leakGPerS > 0) this.lose(wool.lose(wrong.leakGPerS * dtS));
    if (wrong.wickGPerS > 0) this.lose(wool.wick(wrong.wickGPerS * dtS));
  }

  /** `g` grams ran out of the tray, salts and all. */
  private lose(g: number): void {
    this.salts.leave(g, this.trayWaterG + g);
    this.water.spilledG += g;
  }

  private updateSlowly(wrong: Disturbance): void {
    const dtS = (this.nowMs - this.slowDoneMs) / 1000;
    this.slowDoneMs = this.nowMs;
    this.slowDueMs = this.nowMs + SLOW_MS;
    const { wool, thermal, heat, parameters } = this;
    this.room.update(this.hour, dtS);
    this.pump.update();
    for (const name of PROBE_NAMES) {
      this.probes[name].setInAir(name === 'rootZone' && this.probeInAir(wrong));
    }
    this.cell.setTemperature(this.room.airC + CELL_WARMING_SHARE * (thermal.matC - this.room.airC));
    this.updatePlants(dtS);
    const loss = this.lossUnder(wrong.lidOff ? 'off' : lidNow(this.lid, this.room.lit));
    this.loss = loss;
    heat.lossWK = loss.topWM2K * parameters.mat.areaM2;
    heat.evaporationW = loss.drawnWM2 * parameters.mat.areaM2;
    heat.capacityJK = trayHeatCapacityJK(
      this.trayWaterG + this.grownG,
      wool.dryG,
      parameters.trayG,
    );
  }

  private updatePlants(dtS: number): void {
    const { seedlings, wool, room, salts, loss } = this;
    const dryTop = isTopDry(loss.woolGM2H, wool.share) && this.nowMs >= this.topWetUntilMs;
    // Seed on wool that was never wetted waits.
    if (wool.heldG > 0 || seedlings.upCount > 0) {
      salts.trayMg -= seedlings.update(dtS, {
        rootZoneC: this.thermal.rootZoneC,
        leafC: loss.leafC,
        ppfd: room.ppfd,
        waterShare: wool.share,
        saltsMgL: salts.strength(this.trayWaterG),
        dryTop,
      });
      salts.trayMg = Math.max(0, salts.trayMg);
    }
    this.growthGPerS = (Math.max(0, seedlings.freshG - this.grownG) * 1000) / SLOW_MS;
  }

  private lossUnder(place: LidPlace): TrayLoss {
    const { room, wool, seedlings } = this;
    return trayLoss({
      lid: LID_EFFECTS[place],
      airC: room.airC,
      roomKpa: room.vapourKpa,
      ppfd: room.ppfd,
      lightWM2: room.lightWM2,
      rootZoneC: this.thermal.rootZoneC,
      waterShare: wool.share,
      leafAreaIndex: seedlings.leafAreaIndex,
      turgor: seedlings.turgor,
    });
  }

  /** Reservoir back to `ml` with feed of `feedMs`; the difference counts as brought in. */
  refill(ml: number, feedMs: number): void {
    const hadMl = this.pump.reservoirMl;
    this.salts.mix(hadMl, ml - hadMl, feedMs * SALTS_MG_L_PER_MS);
    this.water.addedG += gFromMl(ml - hadMl);
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
