/**
 * Layout of the two strip boards. Rows are copper strips, one net each, 5.08 mm apart (every second
 * strip of a 2.54 mm board); parts stand across them, wires end in terminals at both edges. What is
 * joined follows from the netlist; `layoutFaults` says where a layout could not be built.
 */
import { findPart, netOf } from './circuit';
import type { Circuit, PinRef, Place } from './kinds';
import type { NetName } from './nets';

export interface BoardPlan {
  readonly place: Place;
  readonly file: string;
  readonly title: string;
  /** Net of each strip, top to bottom. A net on two strips is joined by a link. */
  readonly strips: readonly NetName[];
  readonly columns: number;
  /** Column in which a part stands. */
  readonly parts: Readonly<Record<string, number>>;
  /** Poles of the board's terminals at the left and the right edge. */
  readonly left: readonly string[];
  readonly right: readonly string[];
  readonly terminals: string;
  /** Column of the link between the strips of one net. */
  readonly links: Readonly<Record<string, number>>;
  readonly notes: readonly string[];
}

export const BOARDS: readonly BoardPlan[] = [
  {
    place: 'power-board',
    file: 'board-power',
    title: 'Power board, seen from the side of the parts',
    strips: [
      'LOADS_SENSE',
      'LOADS_SUM',
      'GROUND',
      'MAT_GATE',
      'MAT_LOW',
      'MAT_FEED',
      'MAT',
      'MAT_SUPPLY',
      'PUMP',
      'PUMP_FEED',
      'PUMP_LOW',
      'PUMP_GATE',
      'GROUND',
      'BUCK_FEED',
      'REVERSE_GATE',
      'FUSED',
      'RAIL',
      'MAT_SUPPLY',
      'FEED_GATE',
      'FEED_PULL',
      'FEED_BASE',
      'GROUND',
      'FEED_HOLD',
      'FEED_PUMP',
      'FEED_PULSE',
      'FEED',
      'FIVE_VOLT',
      'SOUNDER_LOW',
      'SOUNDER_BASE',
      'GROUND',
      'SOUNDER',
      'BOARD_FEED',
    ],
    columns: 24,
    parts: {
      Q1: 4,
      D1: 2,
      F2: 6,
      R2: 12,
      R1: 14,
      TP5: 16,
      TP3: 18,
      TP12: 18,
      D2: 2,
      Q2: 4,
      F3: 8,
      R4: 12,
      R3: 14,
      TP6: 16,
      Q4: 2,
      D4: 4,
      R9: 6,
      D5: 8,
      C1: 20,
      F4: 16,
      TP1: 18,
      R27: 20,
      R28: 14,
      R29: 10,
      R30: 8,
      R31: 16,
      R32: 12,
      R33: 6,
      Q5: 6,
      D14: 11,
      R26: 14,
      R25: 16,
      Q6: 2,
      R24: 4,
      R23: 8,
      C9: 12,
      D12: 14,
      D13: 16,
      R22: 18,
      C8: 4,
      R21: 8,
      TP11: 10,
      D3: 4,
      Q3: 6,
      R6: 8,
      R5: 10,
      D11: 12,
      D6: 16,
      TP2: 18,
    },
    left: ['IN-', 'MAT-', 'MAT+', 'PUMP+', 'PUMP-', 'IN+', 'LS+', 'LS-'],
    right: ['SENSE', 'BUCK-', 'MAT', 'PUMP', 'GND', 'BUCK+', 'FEED', '5V', 'SND', 'VSYS'],
    terminals: 'X1',
    links: { GROUND: 22, MAT_SUPPLY: 10 },
    notes: [
      'Copper of FUSED, RAIL, MAT_SUPPLY, MAT_FEED, MAT_LOW and GROUND, and the links: bare 1 mm² wire along the',
      'whole strip; a strip alone carries about 2 A. Leave the strip between two rows unused.',
      'Q1, Q2: SO-8 on an adapter, its gate, drain and source leads 5 mm apart. Q4, Q5: TO-220, legs spread to 5 mm, straight in.',
      'Bar on a diode: cathode. + on C1. Upright parts are drawn short.',
    ],
  },
  {
    place: 'signal-board',
    file: 'board-signal',
    title: 'Signal board, seen from the side of the parts',
    strips: [
      'ADC_REFERENCE',
      'PROBE',
      'PROBE_ADC',
      'QUIET_GROUND',
      'MAT_PROBE_ADC',
      'MAT_PROBE',
      'QUIET_GROUND',
      'GROUND',
      'SCALE_SUPPLY',
      'LOGIC_SUPPLY',
      'SCALE_CLK',
      'SCALE_DATA',
      'LINK_TX',
      'LINK_RX',
      'SERVICE_TX',
      'SERVICE_RX',
      'GROUND',
    ],
    columns: 22,
    parts: {
      R7: 2,
      R15: 4,
      C4: 6,
      TP7: 14,
      TP8: 15,
      R8: 8,
      R16: 10,
      C5: 12,
      TP9: 15,
      C7: 2,
      C6: 4,
      TP10: 6,
      R19: 8,
      D7: 16,
      D8: 17,
      D9: 15,
      D10: 18,
      TP4: 15,
      R17: 10,
      R18: 12,
      R14: 14,
      R12: 4,
      R13: 6,
      J8: 9,
    },
    left: ['PROBE', 'PROBE-', 'MATPR', 'MATPR-', 'SC-G', 'SC-V', 'SC-CLK', 'SC-DATA'],
    right: ['VREF', 'ADC0', 'AGND', 'ADC1', 'GND', '3V3', 'CLK', 'DATA', 'TX', 'RX'],
    terminals: 'X2',
    links: { QUIET_GROUND: 14, GROUND: 16 },
    notes: [
      'QUIET_GROUND and GROUND are not joined on this board: they meet on the controller board only.',
      'R7 and R8 are the 0.1 % parts. + on C6.',
      'J8 is three pins of a five-pin header, 5 mm apart.',
    ],
  },
];

/** Holes and strips of the board as they are counted on it: a column takes two holes, a row two strips, from 1. */
export const holeNumber = (column: number): number => 2 * column + 2;
export const stripNumber = (strip: number): number => 2 * strip - 1;

/** The board a plan is cut from: strips across, holes along. Its terminals stand in the first and last two. */
export const boardSize = (
  plan: BoardPlan,
): { readonly strips: number; readonly holes: number } => ({
  strips: stripNumber(plan.strips.length),
  holes: holeNumber(plan.columns) + 4,
});

/** A soldered hole: column and strip counted from 1. */
export interface Hole {
  readonly pin: PinRef;
  readonly column: number;
  readonly strip: number;
}

/** Holes of a part; of two strips with its net, a pin takes the one nearer to the others. */
export function holesOf(circuit: Circuit, plan: BoardPlan, ref: string, column: number): Hole[] {
  const part = findPart(circuit, ref);
  if (part === undefined) return [];
  const choices = Object.keys(part.pins).map((pin) => {
    const net = netOf(circuit, `${ref}.${pin}`)?.name;
    const strips = plan.strips.flatMap((name, i) => (name === net ? [i + 1] : []));
    return { pin: `${ref}.${pin}` as const, strips };
  });
  const fixed = choices.flatMap(({ strips }) => (strips.length === 1 ? strips : []));
  const middle = fixed.reduce((sum, strip) => sum + strip, 0) / Math.max(1, fixed.length);
  return choices.flatMap(({ pin, strips }) => {
    const strip = [...strips].sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0];
    return strip === undefined ? [] : [{ pin, column, strip }];
  });
}

/** Strip of a terminal pole at an edge; of two strips with its net, the first one free. */
export function poleStrips(
  circuit: Circuit,
  plan: BoardPlan,
  poles: readonly string[],
): ReadonlyMap<string, number> {
  const taken = new Map<string, number>();
  for (const pole of poles) {
    const net = netOf(circuit, `${plan.terminals}.${pole}`)?.name;
    const strip = plan.strips.findIndex(
      (name, i) => name === net && ![...taken.values()].includes(i + 1),
    );
    if (strip >= 0) taken.set(pole, strip + 1);
  }
  return taken;
}

/** Why a layout cannot be built, one sentence each; empty when it can. */
export function layoutFaults(circuit: Circuit, plan: BoardPlan): string[] {
  const faults: string[] = [];
  const spans: { ref: string; column: number; from: number; to: number }[] = [];
  for (const part of circuit.parts.filter(({ place }) => place === plan.place)) {
    if (part.ref === plan.terminals) continue;
    const column = plan.parts[part.ref];
    if (column === undefined) {
      faults.push(`${part.ref} has no column.`);
      continue;
    }
    const holes = holesOf(circuit, plan, part.ref, column);
    if (holes.length !== Object.keys(part.pins).length) {
      faults.push(`${part.ref} has a pin without a strip.`);
    }
    const strips = holes.map((hole) => hole.strip);
    spans.push({ ref: part.ref, column, from: Math.min(...strips), to: Math.max(...strips) });
  }
  for (const [net, column] of Object.entries(plan.links)) {
    const strips = plan.strips.flatMap((name, i) => (name === net ? [i + 1] : []));
    spans.push({
      ref: `link of ${net}`,
      column,
      from: Math.min(...strips),
      to: Math.max(...strips),
    });
  }
  spans.forEach((a, i) => {
    if (a.column < 1 || a.column > plan.columns) faults.push(`${a.ref} is off the board.`);
    for (const b of spans.slice(i + 1)) {
      if (a.column === b.column && a.from <= b.to && b.from <= a.to) {
        faults.push(`${a.ref} and ${b.ref} share column ${a.column}.`);
      }
    }
  });
  const repeated = plan.strips.filter((name, i) => plan.strips.indexOf(name) !== i);
  for (const net of repeated) {
    if (plan.links[net] === undefined) faults.push(`the strips of ${net} are not joined.`);
  }
  const poles = new Set([...plan.left, ...plan.right]);
  const placed =
    poleStrips(circuit, plan, plan.left).size + poleStrips(circuit, plan, plan.right).size;
  for (const pole of Object.keys(findPart(circuit, plan.terminals)?.pins ?? {})) {
    if (!poles.has(pole)) faults.push(`terminal ${pole} is at no edge.`);
  }
  if (placed !== plan.left.length + plan.right.length) faults.push('a terminal has no strip.');
  return faults;
}
