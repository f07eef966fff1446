/**
 * Schematic sheets from the netlist. A sheet says where symbols, poles and flags stand and where each
 * net's trunk runs; which pins a wire joins comes from the netlist, and the drawing is checked
 * against it: see `SchematicFault`.
 */
import { findNet, findPart, netOf, splitPin } from '../circuit/circuit';
import { BOARD_POSITIONS } from '../circuit/controller';
import type { Block, Circuit, PinRef } from '../circuit/kinds';
import { type Collected, clashes, junctions, onSegment, type Segment, same } from './clashes';
import { type Flag, flagSvg } from './flags';
import { line, type Point, rect, sheet, text } from './svg';
import { type Drawn, drawPart, ground, type Placing, pole, testPoint } from './symbols';

/** A single pin: of a module, a connector, a terminal or a test point. */
export interface PinPlacing {
  readonly pin: PinRef;
  readonly at: Point;
  readonly label?: Point & { readonly anchor?: 'start' | 'middle' | 'end' };
}

/** A module's outline with its pins at the edge. */
export interface ModuleBox {
  readonly ref: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly pins: Readonly<Record<string, Point>>;
}

export interface SheetPlan {
  readonly file: string;
  readonly title: string;
  readonly subtitle: string;
  readonly blocks: readonly Block[];
  readonly parts: Readonly<Record<string, Placing>>;
  readonly pins: readonly PinPlacing[];
  readonly modules: readonly ModuleBox[];
  readonly flags: readonly Flag[];
  /** Trunk of a net: corner points; pins drop onto it at right angles. */
  readonly trunks: Readonly<Record<string, readonly Point[]>>;
  readonly notes: readonly { readonly at: Point; readonly words: readonly string[] }[];
}

export interface Schematic {
  readonly svg: string;
  /** Where the drawing is not the netlist, or cannot be read; empty when it may be printed. */
  readonly faults: readonly string[];
}

/** Where a pin meets a trunk at right angles, nearest first; null when it cannot. */
function foot(point: Point, trunk: readonly Point[]): Point | null {
  let best: Point | null = null;
  for (let i = 0; i + 1 < trunk.length; i++) {
    const from = trunk[i];
    const to = trunk[i + 1];
    if (from === undefined || to === undefined) continue;
    const candidate = from.x === to.x ? { x: from.x, y: point.y } : { x: point.x, y: from.y };
    if (!onSegment(candidate, { from, to })) continue;
    const distance = Math.hypot(candidate.x - point.x, candidate.y - point.y);
    if (best === null || distance < Math.hypot(best.x - point.x, best.y - point.y))
      best = candidate;
  }
  return best;
}

/** Ground needs no wires: a pin off its trunk has the symbol instead. */
const isGroundUse = (use: string): boolean => use === 'ground' || use === 'quiet-ground';

/** The number of a pin of the controller board, over its line. */
function positionSvg(box: ModuleBox, pin: string, y: number, left: boolean): string[] {
  const position = box.ref === 'A1' ? BOARD_POSITIONS[pin] : undefined;
  if (position === undefined) return [];
  const at = { x: left ? box.x - 0.5 : box.x + box.width + 0.5, y: y - 0.5 };
  return [text(at, String(position), { size: 1.9, anchor: left ? 'end' : 'start' })];
}

function collect(circuit: Circuit, plan: SheetPlan): Collected {
  const points = new Map<string, { pin: string; at: Point }[]>();
  const drawn: Drawn[] = [];
  const svg: string[] = [];
  const faults: string[] = [];
  const add = (pin: PinRef, at: Point): void => {
    const net = netOf(circuit, pin);
    if (net === undefined) {
      faults.push(`${pin} is on no net`);
      return;
    }
    points.set(net.name, [...(points.get(net.name) ?? []), { pin, at }]);
  };
  for (const box of plan.modules) {
    svg.push(rect(box.x, box.y, box.width, box.height, { width: 0.6, fill: 'white' }));
    const part = findPart(circuit, box.ref);
    svg.push(
      text(
        { x: box.x + box.width / 2, y: box.y + box.height + 4 },
        `${box.ref}  ${part?.value ?? ''}`,
        {
          anchor: 'middle',
          bold: true,
        },
      ),
    );
    for (const [pin, at] of Object.entries(box.pins)) {
      const left = at.x <= box.x;
      svg.push(
        text({ x: left ? box.x + 1.5 : box.x + box.width - 1.5, y: at.y + 1 }, pin, {
          size: 2.5,
          anchor: left ? 'start' : 'end',
        }),
        line(at, { x: left ? box.x : box.x + box.width, y: at.y }),
        ...positionSvg(box, pin, at.y, left),
      );
      add(`${box.ref}.${pin}`, at);
    }
  }
  for (const [ref, placing] of Object.entries(plan.parts)) {
    const part = findPart(circuit, ref);
    const symbol = part === undefined ? null : drawPart(part, placing);
    if (symbol === null) {
      faults.push(`${ref} has no symbol`);
      continue;
    }
    drawn.push(symbol);
    svg.push(symbol.svg);
    for (const [pin, at] of symbol.pins) add(`${ref}.${pin}`, at);
  }
  for (const { pin, at } of plan.pins) add(pin, at);
  return { points, drawn, svg, faults };
}

function wire(circuit: Circuit, plan: SheetPlan, collected: Collected): Segment[] {
  const segments: Segment[] = [];
  for (const [net, pins] of collected.points) {
    const use = findNet(circuit, net)?.use ?? 'logic';
    const flags = plan.flags.filter((flag) => flag.net === net).map((flag) => flag.at);
    const ends = [...pins.map((pin) => pin.at), ...flags];
    const trunk = plan.trunks[net];
    if (trunk === undefined && isGroundUse(use)) continue;
    const first = ends[0];
    if (trunk === undefined) {
      const straight =
        first !== undefined &&
        (ends.every((end) => end.x === first.x) || ends.every((end) => end.y === first.y));
      if (!straight) {
        collected.faults.push(`net ${net} needs a trunk`);
        continue;
      }
      const order = [...ends].sort((a, b) => a.x - b.x || a.y - b.y);
      const from = order[0];
      const to = order.at(-1);
      if (from !== undefined && to !== undefined && !same(from, to))
        segments.push({ net, from, to });
      continue;
    }
    for (let i = 0; i + 1 < trunk.length; i++) {
      const from = trunk[i];
      const to = trunk[i + 1];
      if (from !== undefined && to !== undefined) segments.push({ net, from, to });
    }
    for (const end of ends) {
      const at = foot(end, trunk);
      if (at === null && isGroundUse(use)) continue;
      if (at === null) {
        collected.faults.push(`a pin at ${end.x},${end.y} misses the trunk of ${net}`);
      } else if (!same(at, end)) segments.push({ net, from: end, to: at });
    }
  }
  return segments;
}

function pinsSvg(circuit: Circuit, plan: SheetPlan): string[] {
  return plan.pins.map(({ pin, at, label }) => {
    const { ref, pin: name } = splitPin(pin);
    const part = findPart(circuit, ref);
    if (part?.ratings.kind === 'test-point') return testPoint(at, `${ref} ${part.value}`);
    const { x, y, anchor = 'middle' } = label ?? { x: 0, y: -2.4 };
    return pole(at, `${ref} ${name}`, { x, y }, anchor);
  });
}

export interface GroundSpot {
  readonly net: string;
  readonly at: Point;
  readonly quiet: boolean;
}

/** Where a ground symbol stands: at the end of a ground's trunk, and at each pin that is off it. */
export function groundSpots(circuit: Circuit, plan: SheetPlan, collected: Collected): GroundSpot[] {
  return [...collected.points].flatMap(([net, pins]) => {
    const use = findNet(circuit, net)?.use ?? 'logic';
    if (!isGroundUse(use) || net === 'BRIDGE_MINUS') return [];
    const trunk = plan.trunks[net];
    const end = trunk?.at(-1);
    const alone = pins.filter(({ at }) => trunk === undefined || foot(at, trunk) === null);
    const ends = [...alone.map(({ at }) => at), ...(end === undefined ? [] : [end])];
    return ends.map((at) => ({ net, at, quiet: use === 'quiet-ground' }));
  });
}

/** What stands on a sheet and the wires between it, before it is drawn. */
export function layOut(
  circuit: Circuit,
  plan: SheetPlan,
): { readonly collected: Collected; readonly segments: readonly Segment[] } {
  const collected = collect(circuit, plan);
  return { collected, segments: wire(circuit, plan, collected) };
}

/** Pins of symbols and test points. A pole is a ring, which shows by itself that it is on the wire. */
function legs(circuit: Circuit, plan: SheetPlan, { drawn }: Collected): Point[] {
  const tests = plan.pins.filter(
    ({ pin }) => findPart(circuit, splitPin(pin).ref)?.ratings.kind === 'test-point',
  );
  return [...drawn.flatMap(({ pins }) => [...pins.values()]), ...tests.map(({ at }) => at)];
}

/** Draws a sheet, and says where it and the netlist differ. */
export function drawSchematic(circuit: Circuit, plan: SheetPlan): Schematic {
  const { collected, segments } = layOut(circuit, plan);
  const svg = [
    ...segments.map(({ from, to }) => line(from, to)),
    ...collected.svg,
    ...junctions(segments, legs(circuit, plan, collected)),
    ...groundSpots(circuit, plan, collected).map(({ at, quiet }) => ground(at, quiet)),
    ...pinsSvg(circuit, plan),
    ...plan.flags.map(flagSvg),
    ...plan.notes.flatMap(({ at, words }) =>
      words.map((row, i) => text({ x: at.x, y: at.y + i * 3.8 }, row, { size: 2.6 })),
    ),
  ];
  return {
    svg: sheet(plan.title, plan.subtitle, svg),
    faults: [
      ...collected.faults,
      ...clashes(collected, segments),
      ...missing(circuit, plan, collected),
    ],
  };
}

/** Pins of this sheet's blocks that are not drawn, and nets that leave the sheet without a flag. */
function missing(circuit: Circuit, plan: SheetPlan, collected: Collected): string[] {
  const shown = new Set(
    [...collected.points.values()].flatMap((pins) => pins.map(({ pin }) => pin)),
  );
  const faults = circuit.parts
    .filter((part) => plan.blocks.includes(part.block) && part.ref !== 'X1' && part.ref !== 'X2')
    .flatMap((part) => Object.keys(part.pins).map((pin) => `${part.ref}.${pin}`))
    .filter((pin) => !shown.has(pin))
    .map((pin) => `${pin} is not drawn`);
  for (const [net, pins] of collected.points) {
    const whole = findNet(circuit, net);
    if (whole === undefined || isGroundUse(whole.use)) continue;
    const away = whole.pins.filter((pin) => !pins.some((drawn) => drawn.pin === pin));
    if (away.length > 0 && !plan.flags.some((flag) => flag.net === net)) {
      faults.push(`net ${net} goes on to ${away.join(', ')} without a flag`);
    }
  }
  return faults;
}
