/** Seed between sowing and emergence. */
import { DRY_TOP_SHARE } from './climate';
import {
  bridgedSeedlingShare,
  COLUMN_STEP_C,
  emergenceProgressPerDay,
  type SeedColumn,
} from './seed';

/** Seeds of one lot come up over this share of the mean time, either side. */
const EMERGENCE_SPREAD = 0.15;
/**
 * Seed lies open in the hole of its plug. Where the top has dried it swells no further, or slowly,
 * and what had begun to germinate dies: half within two days (common practice; no
 * source found).
 */
const DRY_PACE_SHARE = 0.3;
const DRY_DEATHS_PER_DAY = 0.35;
/** The top dries when it loses more than this, mm a day, though the plug below is wet (no source found). */
const DRYING_MM_PER_DAY = 1.2;

/** Whether the open top of the plugs is too dry for seed. */
export function isTopDry(lossGM2H: number, waterShare: number): boolean {
  return waterShare < DRY_TOP_SHARE || (lossGM2H * 24) / 1000 > DRYING_MM_PER_DAY;
}

/**
 * Progress goes by the published days at each temperature, and the share of normal seedlings by the
 * published per cent, weighted by how much of the way was gone at each. In heat that hurts the
 * seed, time counts even where nothing moves: seed held too warm is lost though it never stirred.
 */
export class Germination {
  /** 1 when half of what comes has come. */
  progress = 0;
  private weight = 0;
  private weightedShare = 0;
  private unhurtShare = 1;
  private risenShare = 0;
  private readonly bestRate: number;
  private readonly bestC: number;

  /** `vigour`: pace of this lot, 1 as published. */
  constructor(
    private readonly row: readonly SeedColumn[],
    private readonly vigour: number,
  ) {
    const columns = row.map((_, index) => index * COLUMN_STEP_C);
    const shares = columns.map((soilC) => bridgedSeedlingShare(row, soilC));
    const best = Math.max(...shares);
    this.bestC = columns[shares.lastIndexOf(best)] ?? 0;
    this.bestRate = Math.max(...columns.map((soilC) => emergenceProgressPerDay(row, soilC)));
  }

  /** Share of the sown seed that has come up after another `days` at `soilC`, 0..1. */
  update(days: number, soilC: number, dryTop: boolean): number {
    const perDay = emergenceProgressPerDay(this.row, soilC) * this.vigour;
    if (dryTop) this.unhurtShare *= Math.exp(-DRY_DEATHS_PER_DAY * days);
    const step = perDay * days * (dryTop ? DRY_PACE_SHARE : 1);
    const counts = soilC > this.bestC ? Math.max(step, this.bestRate * days) : step;
    this.progress += step;
    this.weight += counts;
    this.weightedShare += counts * bridgedSeedlingShare(this.row, soilC);
    const before = this.risenShare;
    const after = (this.progress - (1 - EMERGENCE_SPREAD)) / (2 * EMERGENCE_SPREAD);
    this.risenShare = Math.min(1, Math.max(0, after));
    if (this.weight === 0) return 0;
    return (this.risenShare - before) * (this.weightedShare / this.weight) * this.unhurtShare;
  }
}
