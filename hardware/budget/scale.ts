/** What the scale can tell apart, g: load cell, converter, supply and weight, at the soaked tray. */
import { BRIDGE_GAIN, nominalCountsPerG, SCALE_MEAN_CODES } from '../../shared/physics/bridge';
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { BRIDGE, LOGIC } from '../circuit/limits';
import { type BudgetItem, type BudgetTotal, total } from './item';

/**
 * Data of an aluminium single-point cell in class C3 quality, as shares of rated output (data sheets:
 * 0.02 % non-linearity and hysteresis, 0.03 % repeatability, creep 0.03 % in 30 min; temperature on
 * zero and span 0.02 to 0.05 % per 10 K, common practice; OIML R 60 allows about as much).
 */
export const CELL_DATA = {
  nonLinearity: 2e-4,
  hysteresis: 2e-4,
  repeatability: 3e-4,
  creep: 3e-4,
  zeroPerK: 3e-5,
  spanPerK: 2e-5,
  zeroBalance: 0.05,
  safeOverload: 1.5,
  deflectionMm: 0.4,
} as const;

/** Share of the 30 min creep left in the 20th to 30th minute (OIML R 60: 0.15 against 0.7 MPE). */
const CREEP_LATE_SHARE = 0.15 / 0.7;
/** Slow change of the 3.3 V rail with load and temperature, V (common practice). */
const SUPPLY_CHANGE_V = 0.01;
/** Error of a class M1 weight of 1 kg, share (OIML R 111). */
const WEIGHT_SHARE = 5e-5;

export interface ScaleInput {
  readonly ratedG: number;
  readonly ratedMvPerV: number;
  /** Load on the cell, platform included, g. */
  readonly loadG: number;
  /** Change of the cell's temperature over a day, K. */
  readonly swingK: number;
}

export interface ScaleBudget {
  readonly excitationV: number;
  readonly countsPerG: number;
  /** One conversion's noise as a mass, g rms. */
  readonly noiseG: number;
  /** Between the weighings before and after a dose, some minutes apart. */
  readonly dose: { readonly items: readonly BudgetItem[]; readonly total: BudgetTotal };
  /** Between two mornings, or against the container capacity marked the day before. */
  readonly day: { readonly items: readonly BudgetItem[]; readonly total: BudgetTotal };
  /** Against the calibration, weeks later. */
  readonly absolute: { readonly items: readonly BudgetItem[]; readonly total: BudgetTotal };
}

/** Excitation of the bridge, V: 3.3 V less the filter resistor's drop and the module's transistor. */
export function excitationV(filterOhm: number, bridgeOhm: number): number {
  const supplyV = LOGIC.nominalV * (1 - LOGIC.tolerance);
  const amps = supplyV / bridgeOhm + BRIDGE.supplyA;
  return supplyV - amps * filterOhm - BRIDGE.regulatorDropV;
}

/** The scale's own parts in the netlist; null when one is missing. */
export function scaleParts(circuit: Circuit): { filterOhm: number; bridgeOhm: number } | null {
  const filter = findPart(circuit, 'R19');
  const cell = findPart(circuit, 'LC1');
  if (filter === undefined || !isKind(filter, 'resistor')) return null;
  if (cell === undefined || !isKind(cell, 'load-cell')) return null;
  return { filterOhm: filter.ratings.ohm, bridgeOhm: cell.ratings.bridgeOhm };
}

/** Bridge signal, V, of a gram. */
const voltPerG = (input: ScaleInput, exciteV: number): number =>
  (input.ratedMvPerV * 1e-3 * exciteV) / input.ratedG;

/** Budgets for a cell and a load. Limits are either way; see `BudgetTotal` for how they add up. */
export function scaleBudget(input: ScaleInput, exciteV: number): ScaleBudget {
  const { ratedG, loadG, swingK } = input;
  const perG = voltPerG(input, exciteV);
  const noiseG = BRIDGE.noiseV / perG;
  const noise: BudgetItem = {
    name: `noise, mean of ${SCALE_MEAN_CODES} codes, two weighings`,
    limit: (3 * Math.SQRT2 * noiseG) / Math.sqrt(SCALE_MEAN_CODES),
    source: '50 nV rms at 10 samples/s (converter data sheet)',
  };
  const supply: BudgetItem = {
    name: '3.3 V supply wanders by 10 mV',
    limit: (SUPPLY_CHANGE_V * BRIDGE.supplyRejection) / perG,
    source: 'ratiometric; 100 dB rejection of the rest (from memory)',
  };
  const dose = [
    noise,
    supply,
    {
      name: 'creep between the weighings',
      limit: CELL_DATA.creep * CREEP_LATE_SHARE * loadG,
      source: 'OIML R 60: 20 to 30 min against 30 min',
    },
  ];
  const day = [
    noise,
    supply,
    { name: 'creep', limit: CELL_DATA.creep * loadG, source: 'cell data sheet, 30 min' },
    {
      name: 'repeatability',
      limit: CELL_DATA.repeatability * ratedG,
      source: 'cell data sheet',
    },
    {
      name: `temperature on zero, ${swingK} K`,
      limit: CELL_DATA.zeroPerK * ratedG * swingK,
      source: '0.03 % per 10 K (common practice)',
    },
    {
      name: `temperature on span, ${swingK} K`,
      limit: CELL_DATA.spanPerK * loadG * swingK,
      source: '0.02 % per 10 K (common practice)',
    },
    {
      name: 'converter drift',
      limit: (BRIDGE.offsetVPerK / perG + BRIDGE.gainPerK * loadG) * swingK,
      source: '6 nV/K, 5 ppm/K (from memory)',
    },
  ];
  const absolute = [
    ...day,
    { name: 'non-linearity', limit: CELL_DATA.nonLinearity * ratedG, source: 'cell data sheet' },
    { name: 'hysteresis', limit: CELL_DATA.hysteresis * ratedG, source: 'cell data sheet' },
    { name: 'known weight, class M1', limit: WEIGHT_SHARE * loadG, source: 'OIML R 111' },
  ];
  return {
    excitationV: exciteV,
    countsPerG: nominalCountsPerG({ ratedG, ratedMvPerV: input.ratedMvPerV }, BRIDGE_GAIN),
    noiseG,
    dose: { items: dose, total: total(dose) },
    day: { items: day, total: total(day) },
    absolute: { items: absolute, total: total(absolute) },
  };
}

/** Full-scale input of the converter, V, either way: half its supply over its gain. */
export const fullScaleV = (exciteV: number): number => (0.5 * exciteV) / BRIDGE.gain;

/** Largest bridge signal, V: overload to the stop, with the zero balance at its limit. */
export function largestSignalV(ratedMvPerV: number, exciteV: number): number {
  return ratedMvPerV * 1e-3 * exciteV * (CELL_DATA.safeOverload + CELL_DATA.zeroBalance);
}

/** Common mode of the bridge, V, and the window the converter accepts. */
export function commonMode(exciteV: number): { atV: number; lowV: number; highV: number } {
  return {
    atV: exciteV / 2,
    lowV: BRIDGE.commonModeLowV,
    highV: exciteV - BRIDGE.commonModeHeadroomV,
  };
}
