/** The plants of one tray: when they come up, how they grow, what they take up, wilt and die of. */
import { DAY_S } from '../../../shared/units/time';
import type { Random } from '../random';
import { lightShare } from './canopy';
import type { CropParameters } from './crops';
import { Germination } from './germination';
import { ENOUGH_MG_PER_G, saltStress, saltSupply, saltUptake } from './salts';

/** What the plants feel for a minute or so. */
export interface PlantWeather {
  readonly rootZoneC: number;
  readonly leafC: number;
  /** Light, umol/m2s. */
  readonly ppfd: number;
  /** Water held, as a share of container capacity. */
  readonly waterShare: number;
  /** Feed salts in that water, mg/l. */
  readonly saltsMgL: number;
  /** The open top of the plugs is dry. */
  readonly dryTop: boolean;
}

/**
 * Dry matter from light taken, g/mol: lettuce gave 0.76 to 1.01 g of shoot per mol (Carotti et al.
 * 2021, Front. Plant Sci. 11:592171); with the root about 1.
 */
const DRY_G_PER_MOL = 1;
/**
 * Most plant that a plug's roots can carry, g/ml: leaf and weight go with cell volume from 7 to 100 ml
 * (two muskmelon cultivars; the abstract was found without its authors). That 98 plugs of 52 ml make plants of
 * 3 to 6 g is common practice: no source found.
 */
const MOST_G_PER_ML = 0.15;
/**
 * Turgor falls with what the wool still holds: nearly all its water is easily had, then it collapses -
 * 0.15 of the volume at 30 cm of suction, less than 0.05 at 50 (da Silva et al. 1995 as remembered; no print found) -
 * as shares of a container capacity of 0.8.
 */
const STRESS_BEGINS_SHARE = 0.19;
const STRESS_FULL_SHARE = 0.06;
/** Leaves hang below this turgor; it goes within hours, and comes back faster (common practice; no source found). */
export const WILTED_TURGOR = 0.5;
const WILTING_DAYS = 3 / 24;
const RECOVERY_DAYS = 1.5 / 24;
/** Wilted for so long, plants begin to die, half of them in a day (common practice; no source found). */
const SURVIVES_WILTED_DAYS = 1;
const DEATHS_PER_DAY = 0.7;
/** Roots die of heat above this, so many a day and kelvin (common practice; no source found). */
const ROOT_HEAT_C = 40;
const DEATHS_PER_DAY_K = 0.2;

/**
 * dW/dt = e PAR (1 - exp(-k LAI)) f(T) f(turgor) f(salts held) f(root room), fresh mass W / dry share. Beside
 * the plants grows an ideal stand in the same light and warmth that never lacks water or salts.
 */
export class Seedlings {
  private crop: CropParameters | null = null;
  private germination: Germination | null = null;
  private sownCount = 0;
  /** Share of the sown seed that has come up, 0..1. */
  emergedShare = 0;
  /** Plants that have come up in this tray and are counted now, dead ones too; and those alive. */
  upCount = 0;
  aliveCount = 0;
  /** Fresh mass of the living and of all, g; the caller moves water into it. */
  livingG = 0;
  deadG = 0;
  /** Salts that the living hold, mg. */
  private heldMg = 0;
  /** Fresh mass of the ideal stand, g. */
  private idealG = 0;
  turgor = 1;
  /** Days wilted in all, and without a break until now. */
  wiltedDays = 0;
  private wiltedRunDays = 0;
  /** Taken up since sowing by the plants that are still here. */
  takenMl = 0;
  takenSaltsMg = 0;

  /** `areaM2` of tray for all; `pieceMl`: what each root has. */
  constructor(
    private readonly areaM2: number,
    private pieceMl: number,
  ) {}

  sow(crop: CropParameters, count: number, random: Random): void {
    this.crop = crop;
    this.germination = new Germination(crop.seed, random.between(0.93, 1.07));
    this.sownCount = count;
    this.emergedShare = 0;
    this.clear();
  }

  /** Way to emergence, 1 when half has come. */
  get progress(): number {
    return this.germination?.progress ?? 0;
  }

  get freshG(): number {
    return this.livingG + this.deadG;
  }

  /** Leaf of the living plants, cm2. */
  get leafCm2(): number {
    return this.livingG * (this.crop?.leafCm2PerG ?? 0);
  }

  get leafAreaIndex(): number {
    return this.leafCm2 / 1e4 / this.areaM2;
  }

  get wilted(): boolean {
    return this.turgor < WILTED_TURGOR && this.aliveCount > 0;
  }

  get deadShare(): number {
    return this.upCount === 0 ? 0 : 1 - this.aliveCount / this.upCount;
  }

  /** Salts in a gram of the living, dry, mg; 0 without any. */
  get saltsMgPerDryG(): number {
    const dryG = this.livingG * (this.crop?.dryShare ?? 0);
    return dryG > 0 ? this.heldMg / dryG : 0;
  }

  /** Living mass against the ideal stand's, 0..1; 1 before anything has grown. */
  get growthShare(): number {
    return this.idealG === 0 ? 1 : Math.min(1, this.livingG / this.idealG);
  }

  /**
   * Keeps the best `count` plants, living before dead, on roots of `pieceMl`; returns the share of the
   * fresh mass that stays.
   */
  keep(count: number, pieceMl = this.pieceMl): number {
    this.pieceMl = pieceMl;
    const before = this.freshG;
    const alive = Math.min(count, this.aliveCount);
    const dead = Math.min(count - alive, this.upCount - this.aliveCount);
    this.livingG *= share(alive, this.aliveCount);
    this.heldMg *= share(alive, this.aliveCount);
    this.deadG *= share(dead, this.upCount - this.aliveCount);
    const kept = share(alive + dead, this.upCount);
    this.idealG *= kept;
    this.takenMl *= kept;
    this.takenSaltsMg *= kept;
    this.sownCount = Math.min(this.sownCount, count);
    this.aliveCount = alive;
    this.upCount = alive + dead;
    return before === 0 ? 1 : this.freshG / before;
  }

  /** Advances by `dtS` seconds (a minute or so); returns the salts taken up, mg. */
  update(dtS: number, weather: PlantWeather): number {
    const { crop, germination } = this;
    if (crop === null || germination === null) return 0;
    const days = dtS / DAY_S;
    this.emerge(crop, germination.update(days, weather.rootZoneC, weather.dryTop));
    if (this.upCount === 0) return 0;
    this.drink(days, weather.waterShare);
    this.die(days, weather.rootZoneC);
    return this.grow(crop, dtS, weather);
  }

  private emerge(crop: CropParameters, moreShare: number): void {
    const count = Math.max(0, moreShare) * this.sownCount;
    if (count === 0) return;
    this.emergedShare += moreShare;
    this.upCount += count;
    this.aliveCount += count;
    const firstG = (count * crop.firstLeafCm2) / crop.leafCm2PerG;
    this.livingG += firstG;
    this.idealG += firstG;
    this.heldMg += firstG * crop.dryShare * ENOUGH_MG_PER_G;
  }

  private drink(days: number, waterShare: number): void {
    const span = STRESS_BEGINS_SHARE - STRESS_FULL_SHARE;
    const held = Math.min(1, Math.max(0, (waterShare - STRESS_FULL_SHARE) / span));
    const lagDays = held < this.turgor ? WILTING_DAYS : RECOVERY_DAYS;
    this.turgor += (held - this.turgor) * Math.min(1, days / lagDays);
    if (!this.wilted) this.wiltedRunDays = 0;
    else {
      this.wiltedDays += days;
      this.wiltedRunDays += days;
    }
  }

  private die(days: number, rootZoneC: number): void {
    const ofThirst = this.wiltedRunDays > SURVIVES_WILTED_DAYS ? DEATHS_PER_DAY : 0;
    const ofHeat = Math.max(0, rootZoneC - ROOT_HEAT_C) * DEATHS_PER_DAY_K;
    if (ofThirst + ofHeat === 0) return;
    const lives = Math.exp(-(ofThirst + ofHeat) * days);
    this.deadG += this.livingG * (1 - lives);
    this.livingG *= lives;
    this.heldMg *= lives;
    this.aliveCount *= lives;
  }

  private grow(crop: CropParameters, dtS: number, weather: PlantWeather): number {
    const growthC = (weather.rootZoneC + weather.leafC) / 2;
    const warmth = (growthC - crop.growthBaseC) / (crop.growthFullC - crop.growthBaseC);
    const mol = weather.ppfd * 1e-6 * dtS * this.areaM2 * Math.min(1, Math.max(0, warmth));
    const freshG = (mol * DRY_G_PER_MOL) / crop.dryShare;
    this.idealG += freshG * this.pace(this.idealG, this.upCount);
    const mostG = freshG * this.pace(this.livingG, this.aliveCount) * this.turgor;
    const saltsMg = saltUptake(weather.saltsMgL, mostG * crop.dryShare);
    this.livingG += mostG * saltSupply(this.saltsMgPerDryG) * saltStress(weather.saltsMgL);
    this.heldMg += saltsMg;
    this.takenSaltsMg += saltsMg;
    return saltsMg;
  }

  /** Share of the light that a stand of this mass takes and has root room for. */
  private pace(standG: number, count: number): number {
    if (count === 0) return 0;
    const index = (standG * (this.crop?.leafCm2PerG ?? 0)) / 1e4 / this.areaM2;
    const fullness = standG / count / (MOST_G_PER_ML * this.pieceMl);
    return lightShare(index) * Math.max(0, 1 - fullness * fullness);
  }

  private clear(): void {
    this.upCount = 0;
    this.aliveCount = 0;
    this.livingG = 0;
    this.deadG = 0;
    this.heldMg = 0;
    this.idealG = 0;
    this.turgor = 1;
    this.wiltedDays = 0;
    this.wiltedRunDays = 0;
    this.takenMl = 0;
    this.takenSaltsMg = 0;
  }
}

function share(part: number, whole: number): number {
  return whole === 0 ? 0 : part / whole;
}
