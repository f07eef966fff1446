/** Load cell and 24-bit bridge converter under the tray. */
import { SCALE_CODE_MAX, SCALE_CODE_MIN } from '../../../shared/board/map';
import { BRIDGE_GAIN, nominalCountsPerG } from '../../../shared/physics/bridge';
import type { Random } from '../random';

export interface LoadCellParameters {
  /** Rated capacity, g. */
  readonly capacityG: number;
  /** Output at rated capacity, mV per volt of excitation: 1 or 2. */
  readonly ratedMvV: number;
  /** Supply of bridge and converter; cancels in the code, not in the noise. */
  readonly supplyV: number;
  /** Noise of one conversion, nV rms at the input: 50 at 10 samples/s and gain 128 (data sheet). */
  readonly noiseNv: number;
  /** Zero balance, share of rated output, either sign; 5 % is usual. */
  readonly zeroShare: number;
  /** Error of the span, share; a cheap cell is within 10 %. */
  readonly spanShare: number;
  /** Dead load of platform, mat and insulation, g. */
  readonly platformG: number;
  /** Drift of the zero, g/K: 0.02..0.05 % of rated output per 10 K (common practice; no source found). */
  readonly zeroGPerK: number;
  /** Creep, share of the load, and its time: 0.03 % in 30 min (data sheets of class C3 cells). */
  readonly creepShare: number;
  readonly creepS: number;
  /** Overload stop, share of the capacity. */
  readonly stopShare: number;
}

export const LOAD_CELL: LoadCellParameters = {
  capacityG: 10_000,
  ratedMvV: 1,
  supplyV: 3.3,
  noiseNv: 50,
  zeroShare: 0.02,
  spanShare: 0.01,
  platformG: 900,
  zeroGPerK: 0.3,
  creepShare: 0.0003,
  creepS: 600,
  stopShare: 1.5,
};

const CONVERTER_COUNTS = 2 ** 24;
/** Temperature at which the zero has no drift, C. */
const REFERENCE_C = 20;

/**
 * code = zero + k (load + creep + drift (T - 20)) + noise, clamped to 24 bits, where
 * k = (mV/V / 1000) gain 2^24 / capacity: 214.7 counts/g for 10 kg at 1 mV/V, whatever the supply.
 */
export class LoadCell {
  /** True counts per gram of this very cell. */
  readonly countsPerG: number;
  private readonly zeroCode: number;
  private readonly noiseCounts: number;
  private creepG = 0;
  private driftG = 0;

  constructor(private readonly parameters: LoadCellParameters) {
    const { capacityG, ratedMvV, supplyV, noiseNv, zeroShare, spanShare } = parameters;
    const nominal = nominalCountsPerG({ ratedG: capacityG, ratedMvPerV: ratedMvV });
    this.countsPerG = nominal * (1 + spanShare);
    this.zeroCode = nominal * capacityG * zeroShare;
    const stepNv = (supplyV * 1e9) / BRIDGE_GAIN / CONVERTER_COUNTS;
    this.noiseCounts = noiseNv / stepNv;
  }

  /** Noise of one conversion as a mass, g rms. */
  get noiseG(): number {
    return this.noiseCounts / this.countsPerG;
  }

  /** Cell temperature, C; moves the zero. */
  setTemperature(cellC: number): void {
    this.driftG = (cellC - REFERENCE_C) * this.parameters.zeroGPerK;
  }

  /** Lets the creep follow the load: first order towards its share of it. */
  step(dtS: number, onScaleG: number): void {
    const { creepShare, creepS, platformG } = this.parameters;
    this.creepG += ((creepShare * (onScaleG + platformG) - this.creepG) * dtS) / creepS;
  }

  /** One conversion with `onScaleG` grams standing on the platform; `noiseFactor` 1 when sound. */
  code(onScaleG: number, noiseFactor: number, random: Random): number {
    const { platformG, capacityG, stopShare } = this.parameters;
    const loadG = Math.min(onScaleG + platformG, capacityG * stopShare);
    const signal = this.zeroCode + this.countsPerG * (loadG + this.creepG + this.driftG);
    const code = Math.round(signal + this.noiseCounts * noiseFactor * random.normal());
    return Math.min(SCALE_CODE_MAX, Math.max(SCALE_CODE_MIN, code));
  }
}
