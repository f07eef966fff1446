/** What the supply, the 5 V converter and the 3.3 V regulator must give with everything on. */
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { BRIDGE, LOGIC, MARGIN } from '../circuit/limits';

/** RP2040 board itself at 125 MHz with USB, A (chip data sheet: below 100 mA in all modes). */
const BOARD_A = 0.1;
/** Efficiency of small step-down modules at light load (common practice). */
const CONVERTER_EFFICIENCY = 0.75;

export interface SupplyBudget {
  readonly railV: number;
  /** Drawn from the controller board's 3.3 V pin, A. */
  readonly logicSupplyA: number;
  readonly fiveVoltA: number;
  /** Of the rail: 5 V converter, mat, pump running, and the pump's moment of starting or jamming. */
  readonly converterA: number;
  readonly matA: number;
  readonly pumpA: number;
  readonly peakA: number;
  /** Smallest supply unit, W: everything on, with 25 % in hand. */
  readonly unitW: number;
}

/** Currents drawn from the controller board's 3.3 V pin, A: bridge, converter, pulls. */
export function logicSupplyA(circuit: Circuit): number {
  const cell = findPart(circuit, 'LC1');
  const bridgeOhm = cell !== undefined && isKind(cell, 'load-cell') ? cell.ratings.bridgeOhm : 350;
  return LOGIC.nominalV / bridgeOhm + BRIDGE.supplyA;
}

function loadA(circuit: Circuit, ref: string, which: 'ratedA' | 'peakA'): number {
  const part = findPart(circuit, ref);
  return part !== undefined && isKind(part, 'load') ? part.ratings[which] : 0;
}

/** Supply budget at `railV` with a mat of `matW`. Pump and sounder as the netlist has them. */
export function supplyBudget(circuit: Circuit, railV: number, matW: number): SupplyBudget {
  const logicA = logicSupplyA(circuit);
  const fiveVoltA = BOARD_A + logicA + loadA(circuit, 'LS1', 'ratedA');
  const converterA = (5 * fiveVoltA) / (CONVERTER_EFFICIENCY * railV);
  const matA = matW / railV;
  const pumpA = loadA(circuit, 'M1', 'ratedA');
  return {
    railV,
    logicSupplyA: logicA,
    fiveVoltA,
    converterA,
    matA,
    pumpA,
    peakA: converterA + matA + loadA(circuit, 'M1', 'peakA'),
    unitW: MARGIN.supply * railV * (converterA + matA + pumpA),
  };
}
