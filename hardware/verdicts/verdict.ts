/** What is asked about a build, and the form of an answer. */
import type { SteinhartHart } from '../../shared/physics/ntc';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { TrayFormat } from '../budget/trays';
import type { RailV } from '../circuit/limits';

export interface ReportInput {
  readonly tray: TrayFormat;
  readonly cellG: number;
  readonly cellMvPerV: number;
  /** Mat, W per square metre of tray. */
  readonly matWM2: number;
  readonly railV: RailV;
  /** Coldest and warmest the room gets, °C. */
  readonly roomC: number;
  readonly roomMaxC: number;
  /** High edge of the warmest band wanted, °C. */
  readonly bandHighC: number;
  /** Content of reservoir and drip tray, ml; null when not asked. */
  readonly reservoirMl: number | null;
  readonly dripTrayMl: number | null;
  /** The NTC of the probes, where it is not the reference one; by one B. */
  readonly probe: SteinhartHart | null;
  /** How the sentences are worded; the figures of the report stay metric. */
  readonly units: UnitSystem;
}

export interface Verdict {
  /** Stable word for programs. */
  readonly about: string;
  readonly level: 'fits' | 'caution' | 'refused';
  readonly sentence: string;
}

export const celsius = (input: ReportInput, c: number): string =>
  formatQuantity('temperature', c, input.units);
export const mass = (input: ReportInput, g: number): string =>
  formatQuantity('mass', g, input.units);
export const volume = (input: ReportInput, ml: number): string =>
  formatQuantity('volume', ml, input.units);
