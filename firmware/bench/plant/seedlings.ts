/** Seeds and seedlings: when they come up, and what they drink and weigh afterwards. */
import type { Random } from '../random';

export interface CropParameters {
  /** Base temperature of germination, C, and thermal time from sowing to emergence, K d. */
  readonly baseC: number;
  readonly emergenceKD: number;
  /** Warmer than the optimum brings nothing more; at the ceiling seed dies. */
  readonly optimumC: number;
  readonly ceilingC: number;
  /** Share of seed that gives a normal seedling, 0..1. */
  readonly germinationShare: number;
}

/**
 * Base and thermal time: 1/days fitted to the soil temperature table of Harrington and Minges 1954
 * (Knott's Handbook), good to 0.5 d from 15 to 30 C for most crops. Optimum, ceiling and
 * germination from the same table; basil from cardinal temperatures of several trials, weaker.
 */
export const CROPS = {
  tomato: crop(7.5, 103, 28, 37, 0.97),
  pepper: crop(10.5, 118, 28, 38, 0.96),
  cucumber: crop(10.4, 58.6, 30, 42, 0.99),
  eggplant: crop(14.1, 81, 30, 36, 0.6),
  lettuce: crop(1.6, 55, 24, 31, 0.99),
  cabbage: crop(2.6, 110, 28, 37, 0.98),
  onion: crop(2.6, 88, 26, 38, 0.97),
  basil: crop(10, 90, 28, 40, 0.85),
} as const satisfies Record<string, CropParameters>;

export type CropName = keyof typeof CROPS;
export const CROP_NAMES = Object.keys(CROPS) as readonly CropName[];

function crop(
  baseC: number,
  emergenceKD: number,
  optimumC: number,
  ceilingC: number,
  germinationShare: number,
): CropParameters {
  return { baseC, emergenceKD, optimumC, ceilingC, germinationShare };
}

/** Seeds of one lot come up over this share of the mean thermal time, either side. */
const EMERGENCE_SPREAD = 0.15;
/** Cotyledons of one seedling, cm2, and fresh mass of the shoot and root that go with leaf area. */
const FIRST_LEAF_CM2 = 2;
const FRESH_G_PER_CM2 = 0.035;
/** Relative growth of leaf area at 25 C, 1/d, and the leaf area index at which the stand closes. */
const GROWTH_PER_DAY = 0.16;
const CLOSED_STAND_INDEX = 3;
/** Growth stops at this temperature and is proportional to what is above it, up to 25 C. */
const GROWTH_BASE_C = 10;
const GROWTH_FULL_C = 25;
/** Vapour conductance of leaves in light, g per square metre of leaf, hour and kPa. */
const LEAF_CONDUCTANCE = 55;
/** What stomata leave open in the dark. */
const DARK_SHARE = 0.15;
/** Wilting: conductance and growth fall off below this share of container capacity. */
const STRESS_SHARE = 0.15;

const DAY_S = 86_400;

/**
 * Thermal time theta' = min(T, Topt) - Tb between base and ceiling; emergence rises linearly over
 * 0.85..1.15 of the crop's thermal time; leaf area grows logistically afterwards
 * dL/dt = r(T) L (1 - L / Lmax), and fresh mass follows leaf area. Growth rates: common practice.
 */
export class Seedlings {
  private crop: CropParameters | null = null;
  private sownCount = 0;
  private vigour = 1;
  thermalKD = 0;
  /** Share of the sown seed that has come up, 0..1. */
  emergedShare = 0;
  leafCm2 = 0;
  /** Fresh mass that growth has reached, g; the caller moves water into it. */
  freshG = 0;

  constructor(private readonly areaM2: number) {}

  sow(crop: CropParameters, count: number, random: Random): void {
    this.crop = crop;
    this.sownCount = count;
    this.vigour = random.between(0.93, 1.07);
    this.thermalKD = 0;
    this.emergedShare = 0;
    this.leafCm2 = 0;
    this.freshG = 0;
  }

  /** Keeps the best `count` plants; returns the fresh mass that was thrown out, g. */
  keep(count: number): number {
    const keptShare = this.sownCount === 0 ? 1 : Math.min(1, count / this.sownCount);
    const thrownG = this.freshG * (1 - keptShare);
    this.sownCount *= keptShare;
    this.leafCm2 *= keptShare;
    this.freshG -= thrownG;
    return thrownG;
  }

  /** Vapour conductance of all leaves, g per square metre of tray, hour and kPa. */
  conductance(lit: boolean, waterShare: number): number {
    const index = this.leafCm2 / 1e4 / this.areaM2;
    return index * LEAF_CONDUCTANCE * (lit ? 1 : DARK_SHARE) * stress(waterShare);
  }

  /** Advances by `dtS` seconds (a minute or so) at this root-zone temperature. */
  update(dtS: number, rootZoneC: number, waterShare: number): void {
    if (this.crop === null) return;
    this.germinate(this.crop, dtS, rootZoneC);
    const warmth = (rootZoneC - GROWTH_BASE_C) / (GROWTH_FULL_C - GROWTH_BASE_C);
    const ratePerDay = GROWTH_PER_DAY * Math.min(1, Math.max(0, warmth)) * stress(waterShare);
    const closed = this.leafCm2 / (CLOSED_STAND_INDEX * this.areaM2 * 1e4);
    this.leafCm2 += (this.leafCm2 * ratePerDay * Math.max(0, 1 - closed) * dtS) / DAY_S;
    this.freshG = Math.max(this.freshG, this.leafCm2 * FRESH_G_PER_CM2);
  }

  private germinate(crop: CropParameters, dtS: number, rootZoneC: number): void {
    if (rootZoneC >= crop.ceilingC || rootZoneC <= crop.baseC) return;
    this.thermalKD += ((Math.min(rootZoneC, crop.optimumC) - crop.baseC) * dtS) / DAY_S;
    const progress = (this.thermalKD * this.vigour) / crop.emergenceKD;
    const risen = (progress - (1 - EMERGENCE_SPREAD)) / (2 * EMERGENCE_SPREAD);
    const share = crop.germinationShare * Math.min(1, Math.max(0, risen));
    if (share <= this.emergedShare) return;
    this.leafCm2 += (share - this.emergedShare) * this.sownCount * FIRST_LEAF_CM2;
    this.emergedShare = share;
  }
}

function stress(waterShare: number): number {
  return Math.min(1, Math.max(0, waterShare / STRESS_SHARE));
}
