/**
 * Strip boards. Rows are copper strips, 5.08 mm apart (every second strip of a 2.54 mm board), with one net each, or two
 * where the copper is cut; parts stand across them, wires end in terminals at both edges. What is joined follows from
 * the netlist; `layoutFaults` says where a layout could not be built.
 */
import { findPart, netOf } from './circuit';
import type { Circuit, PinRef, Place } from './kinds';
import type { NetName } from './nets';

/** A strip whose copper is taken away at the hole of one column: two nets end there. */
export interface CutStrip {
  readonly left: NetName;
  readonly cutAt: number;
  readonly right: NetName;
}

export interface BoardPlan {
  readonly place: Place;
  readonly file: string;
  readonly title: string;
  /** Net of each strip, top to bottom. A net on two strips is joined by a link. */
  readonly strips: readonly (NetName | CutStrip)[];
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

/** Copper of one net without a break: strip counted from 1, columns from 0 (left terminals) to one beyond the last. */
export interface Run {
  readonly net: NetName;
  readonly strip: number;
  readonly from: number;
  readonly to: number;
}

export const runsOf = ({ strips, columns }: BoardPlan): Run[] =>
  strips.flatMap((one, i): Run[] => {
    const strip = i + 1;
    const end = columns + 1;
    return typeof one === 'string'
      ? [{ net: one, strip, from: 0, to: end }]
      : [
          { net: one.left, strip, from: 0, to: one.cutAt - 1 },
          { net: one.right, strip, from: one.cutAt + 1, to: end },
        ];
  });

const reaches = ({ from, to }: Run, column: number): boolean => from <= column && column <= to;

/** Strips of a net at a column, counted from 1. */
const stripsAt = (plan: BoardPlan, net: string | undefined, column: number): number[] =>
  runsOf(plan).flatMap((run) => (run.net === net && reaches(run, column) ? [run.strip] : []));

/** Strips that a net has anywhere. */
export const stripsOf = (plan: BoardPlan, net: string): number[] =>
  runsOf(plan).flatMap((run) => (run.net === net ? [run.strip] : []));

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
    return { pin: `${ref}.${pin}` as const, strips: stripsAt(plan, net, column) };
  });
  const fixed = choices.flatMap(({ strips }) => (strips.length === 1 ? strips : []));
  const middle = fixed.reduce((sum, strip) => sum + strip, 0) / Math.max(1, fixed.length);
  return choices.flatMap(({ pin, strips }) => {
    const strip = [...strips].sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0];
    return strip === undefined ? [] : [{ pin, column, strip }];
  });
}

/** Strip of each terminal pole at an edge; of two strips with its net, the first one free. */
export function poleStrips(
  circuit: Circuit,
  plan: BoardPlan,
  edge: 'left' | 'right',
): ReadonlyMap<string, number> {
  const taken = new Map<string, number>();
  const column = edge === 'left' ? 0 : plan.columns + 1;
  for (const pole of plan[edge]) {
    const net = netOf(circuit, `${plan.terminals}.${pole}`)?.name;
    const strip = stripsAt(plan, net, column).find((one) => ![...taken.values()].includes(one));
    if (strip !== undefined) taken.set(pole, strip);
  }
  return taken;
}

/** What takes a column from one strip to another. */
interface Span {
  readonly ref: string;
  readonly column: number;
  readonly from: number;
  readonly to: number;
}

const spanOf = (ref: string, column: number, strips: readonly number[]): Span => ({
  ref,
  column,
  from: Math.min(...strips),
  to: Math.max(...strips),
});

/** Why a layout cannot be built, one sentence each; empty when it can. */
export function layoutFaults(circuit: Circuit, plan: BoardPlan): string[] {
  const faults: string[] = [];
  const spans: Span[] = [];
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
    spans.push(
      spanOf(
        part.ref,
        column,
        holes.map((hole) => hole.strip),
      ),
    );
  }
  for (const [net, column] of Object.entries(plan.links)) {
    spans.push(spanOf(`link of ${net}`, column, stripsOf(plan, net)));
  }
  spans.forEach((a, i) => {
    if (a.column < 1 || a.column > plan.columns) faults.push(`${a.ref} is off the board.`);
    for (const b of spans.slice(i + 1)) {
      if (a.column === b.column && a.from <= b.to && b.from <= a.to) {
        faults.push(`${a.ref} and ${b.ref} share column ${a.column}.`);
      }
    }
  });
  return [...faults, ...linkFaults(plan), ...poleFaults(circuit, plan)];
}

/** Copper of one net on several strips is joined by a link that meets all of it. */
function linkFaults(plan: BoardPlan): string[] {
  const nets = new Set(runsOf(plan).map(({ net }) => net));
  return [...nets].flatMap((net) => {
    const runs = runsOf(plan).filter((run) => run.net === net);
    if (runs.length === 1) return [];
    const column = plan.links[net];
    return column !== undefined && runs.every((run) => reaches(run, column))
      ? []
      : [`the strips of ${net} are not joined.`];
  });
}

function poleFaults(circuit: Circuit, plan: BoardPlan): string[] {
  const faults: string[] = [];
  const poles = new Set([...plan.left, ...plan.right]);
  const placed = poleStrips(circuit, plan, 'left').size + poleStrips(circuit, plan, 'right').size;
  for (const pole of Object.keys(findPart(circuit, plan.terminals)?.pins ?? {})) {
    if (!poles.has(pole)) faults.push(`terminal ${pole} is at no edge.`);
  }
  if (placed !== plan.left.length + plan.right.length) faults.push('a terminal has no strip.');
  return faults;
}
