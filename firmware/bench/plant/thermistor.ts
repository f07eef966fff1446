/** Probe: an NTC thermistor with its lag and self-heating, read by the board's 12-bit ADC. */
import { ADC_FULL_SCALE, CONVERSIONS_PER_READING } from '../../../shared/board/map';
import {
  codeFromTemperature,
  REFERENCE_PROBE,
  resistanceOhm,
  type SteinhartHart,
  selfHeatingK,
} from '../../../shared/physics/ntc';
import type { Random } from '../random';

export interface ThermistorParameters {
  /** Interchangeability of this very part: reads so much too warm, K. */
  readonly offsetK: number;
  /** Time constant in its place, s: an encapsulated bead in wet wool, or clamped to the mat. */
  readonly lagS: number;
  /** Heat it sheds in its place, mW/K: 1.5..7 in air (data sheets), more in wet wool. */
  readonly dissipationMwK: number;
  /** Which NTC it is; the reference probe unless given. */
  readonly curve?: SteinhartHart;
}

/** The same bead hanging in still air. */
const IN_AIR = { lagS: 40, dissipationMwK: 2 } as const;

const SUPPLY_V = 3.3;
/** Noise of one conversion, codes rms: converter, reference and wiring of the board (data sheet ENOB 8.7). */
const CONVERSION_NOISE = 2.5;
const MEAN_NOISE = CONVERSION_NOISE / Math.sqrt(CONVERSIONS_PER_READING);

/** Codes every eighth of a kelvin from -40 to 125 C: the curve costs more than a tick may. */
const TABLE_FROM_C = -40;
const TABLE_TO_C = 125;
const STEPS_PER_K = 8;
const codesOf = (curve: SteinhartHart): Float64Array =>
  Float64Array.from({ length: (TABLE_TO_C - TABLE_FROM_C) * STEPS_PER_K + 2 }, (_, i) =>
    codeFromTemperature(TABLE_FROM_C + i / STEPS_PER_K, curve),
  );
const REFERENCE_CODES = codesOf(REFERENCE_PROBE);

/** ADC code, with a fraction, of a sound probe at `probeC` (clamped to -40..125 C), by the table of its curve. */
function idealCode(codes: Float64Array, probeC: number): number {
  const at = (Math.min(TABLE_TO_C, Math.max(TABLE_FROM_C, probeC)) - TABLE_FROM_C) * STEPS_PER_K;
  const index = Math.floor(at);
  const low = codes[index] ?? 0;
  return low + ((codes[index + 1] ?? low) - low) * (at - index);
}

/** Mean of the board's conversions, whole codes each, of an ideal code with noise; within 0..4095. */
export function measuredCode(code: number, random: Random): number {
  const sum = Math.round((code + MEAN_NOISE * random.normal()) * CONVERSIONS_PER_READING);
  const mean = sum / CONVERSIONS_PER_READING;
  return Math.min(ADC_FULL_SCALE, Math.max(0, mean));
}

/** dTs/dt = (T - Ts) / lag; read as Ts + self-heating + offset. */
export class Thermistor {
  beadC: number;
  private warmingK = 0;
  private lagS: number;
  private dissipationMwK: number;
  private readonly curve: SteinhartHart;
  private readonly codes: Float64Array;

  constructor(
    private readonly parameters: ThermistorParameters,
    startC: number,
  ) {
    this.beadC = startC;
    this.lagS = parameters.lagS;
    this.dissipationMwK = parameters.dissipationMwK;
    const { curve } = parameters;
    this.curve = curve ?? REFERENCE_PROBE;
    this.codes = curve === undefined ? REFERENCE_CODES : codesOf(curve);
    this.update();
  }

  /** Takes the bead out of its place into room air, or puts it back. */
  setInAir(inAir: boolean): void {
    const place = inAir ? IN_AIR : this.parameters;
    this.lagS = place.lagS;
    this.dissipationMwK = place.dissipationMwK;
    this.update();
  }

  /** Self-heating at the present temperature: V^2 R / (R + Rref)^2 / dissipation. */
  update(): void {
    this.warmingK = selfHeatingK(
      resistanceOhm(this.beadC, this.curve),
      SUPPLY_V,
      this.dissipationMwK,
    );
  }

  step(dtS: number, surroundingsC: number): void {
    const { lagS } = this;
    if (dtS < lagS) this.beadC += ((surroundingsC - this.beadC) * dtS) / lagS;
    else this.beadC = surroundingsC;
  }

  code(random: Random): number {
    const readsC = this.beadC + this.warmingK + this.parameters.offsetK;
    return measuredCode(idealCode(this.codes, readsC), random);
  }
}
