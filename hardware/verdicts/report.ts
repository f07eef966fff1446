/** Everything `trayward hardware check` tells of one build: budgets, and what does not fit. */

import { type MatBudget, matBudget } from '../budget/mat';
import { PROBE_RANGE_C, type ProbeBudget, probeBudget, probeChannel } from '../budget/probe';
import { excitationV, type ScaleBudget, scaleBudget, scaleParts } from '../budget/scale';
import { type SupplyBudget, supplyBudget } from '../budget/supply';
import { areaM2, heaviestG, soakedTrayG } from '../budget/trays';
import {
  driveResistor,
  gateHighMinV,
  junctionC,
  loadOf,
  mosfetHeatW,
  pullDowns,
} from '../checks/outputs';
import { outputCurrents, type PinCurrent } from '../checks/pins';
import { netsBehind } from '../checks/protection';
import { type Breach, breaches } from '../checks/rule';
import { RULES } from '../checks/rules';
import { partsOf } from '../circuit/circuit';
import { type Circuit, WIRE_SIZES } from '../circuit/kinds';
import { ROOM } from '../circuit/limits';
import { PROBE_CIRCUITS } from '../circuit/probes';
import { matFuseA } from './mat-verdicts';
import { probeVerdicts } from './probe-verdict';
import type { ReportInput, Verdict } from './verdict';
import { verdictsOf } from './verdicts';

export interface SwitchHeat {
  readonly part: string;
  readonly amps: number;
  readonly heatW: number;
  readonly junctionC: number;
  readonly gateV: number;
}

export interface FuseLine {
  readonly fuse: string;
  readonly ratedA: number;
  /** Thinnest wire behind it, mm2, and what that may carry. */
  readonly wireMm2: number;
  readonly wireMayCarryA: number;
}

export interface HardwareReport {
  readonly fits: boolean;
  readonly verdicts: readonly Verdict[];
  readonly soakedTrayG: number;
  readonly heaviestG: number;
  readonly probes: readonly ProbeBudget[];
  readonly scale: ScaleBudget;
  readonly mat: MatBudget;
  readonly supply: SupplyBudget;
  readonly pins: readonly PinCurrent[];
  readonly switches: readonly SwitchHeat[];
  readonly fuses: readonly FuseLine[];
  /** Breaches of the circuit's own rules; empty in a released build. */
  readonly circuit: readonly Breach[];
}

/** Change of the cell's temperature over a day: half of the room's, the foam keeps the mat off. */
const CELL_SWING_SHARE = 0.5;

function switchHeat(circuit: Circuit, mat: MatBudget, railV: number): SwitchHeat[] {
  return partsOf(circuit, 'mosfet')
    .filter((part) => part.ratings.channel === 'n')
    .map((part) => {
      const load = loadOf(circuit, part);
      const amps = load?.block === 'mat' ? mat.powerW / railV : (load?.ratings.ratedA ?? 0);
      return {
        part: part.ref,
        amps,
        heatW: mosfetHeatW(part.ratings, amps),
        junctionC: junctionC(part.ratings, amps),
        gateV: gateHighMinV(
          driveResistor(circuit, part)?.ratings.ohm ?? 0,
          pullDowns(circuit, part)[0]?.ratings.ohm ?? Number.POSITIVE_INFINITY,
        ),
      };
    });
}

/** The fuse of the mat follows the mat; the others are those of the netlist. */
function fuseLines(circuit: Circuit, matA: number): FuseLine[] {
  return partsOf(circuit, 'fuse').map((fuse) => {
    const behind = netsBehind(circuit, fuse);
    const sizes = circuit.wires.filter((wire) => behind.has(wire.net)).map((wire) => wire.mm2);
    const thinnest = [...sizes].sort((a, b) => a - b)[0];
    return {
      fuse: fuse.ref,
      ratedA: fuse.block === 'mat' ? matFuseA(matA) : fuse.ratings.ratedA,
      wireMm2: thinnest ?? 0,
      wireMayCarryA: thinnest === undefined ? 0 : WIRE_SIZES[thinnest].mayCarryA,
    };
  });
}

/** Budgets and verdicts of one build; null when the netlist lacks the probe or the scale. */
export function hardwareReport(circuit: Circuit, input: ReportInput): HardwareReport | null {
  const channel = probeChannel(circuit, PROBE_CIRCUITS.rootZone);
  const parts = scaleParts(circuit);
  if (channel === null || parts === null) return null;
  const loadG = heaviestG(input.tray);
  const mat = matBudget({
    fluxWM2: input.matWM2,
    areaM2: areaM2(input.tray),
    roomC: input.roomC,
    roomMaxC: input.roomMaxC,
    bandHighC: input.bandHighC,
  });
  const supply = supplyBudget(circuit, input.railV, mat.powerW);
  const probes = [PROBE_RANGE_C.from, 25, PROBE_RANGE_C.to].map((atC) =>
    probeBudget(channel, atC, input.probe ?? undefined),
  );
  const verdicts = [...verdictsOf(input, mat, supply), ...probeVerdicts(input, probes)];
  const found = breaches(circuit, RULES);
  return {
    fits: found.length === 0 && verdicts.every((verdict) => verdict.level !== 'refused'),
    verdicts,
    soakedTrayG: soakedTrayG(input.tray),
    heaviestG: loadG,
    probes,
    scale: scaleBudget(
      {
        ratedG: input.cellG,
        ratedMvPerV: input.cellMvPerV,
        loadG,
        swingK: Math.min(
          ROOM.maxC - ROOM.minC,
          CELL_SWING_SHARE * Math.max(0, input.roomMaxC - input.roomC),
        ),
      },
      excitationV(parts.filterOhm, parts.bridgeOhm),
    ),
    mat,
    supply,
    pins: outputCurrents(circuit),
    switches: switchHeat(circuit, mat, input.railV),
    fuses: fuseLines(circuit, supply.matA),
    circuit: found,
  };
}
