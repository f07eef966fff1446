/** The parts of a board at their places: pads with their nets, and the copper that joins the legs of one pin. */
import { netOf } from '../circuit/circuit';
import type { PinRef } from '../circuit/kinds';
import type { Point } from '../draw/svg';
import { boxShapes, type Capsule, type Copper, LAYERS, type Layer } from './copper';
import type { Footprint, Pad } from './footprint';
import { footprint } from './footprints';
import type { Layout, Spot } from './layout';
import type { KicadPart } from './projects';

export interface PlacedPad {
  readonly ref: string;
  readonly pad: Pad;
  readonly at: Point;
  /** The netlist's pin and net; null for pads that no pin has. */
  readonly pin: PinRef | null;
  readonly net: string | null;
  readonly copper: Copper;
}

export interface PlacedPart {
  readonly part: KicadPart;
  readonly spot: Spot;
  readonly shape: Footprint;
  readonly pads: readonly PlacedPad[];
}

/** A point of a footprint on the board. */
export function onBoard([x, y, turn]: Spot, point: Point): Point {
  const angle = (turn * Math.PI) / 180;
  const [cos, sin] = [Math.round(Math.cos(angle)), Math.round(Math.sin(angle))];
  return { x: x + point.x * cos + point.y * sin, y: y - point.x * sin + point.y * cos };
}

const isTurned = ([, , turn]: Spot): boolean => turn === 90 || turn === 270;

function padShapes(pad: Pad, at: Point, turned: boolean): Capsule[] {
  const width = turned ? pad.height : pad.width;
  const height = turned ? pad.width : pad.height;
  if (pad.shape === 'circle') return [{ from: at, to: at, radius: width / 2 }];
  if (pad.shape !== 'oval') return boxShapes(at, width, height);
  const radius = Math.min(width, height) / 2;
  const [dx, dy] = [width / 2 - radius, height / 2 - radius];
  return [{ from: { x: at.x - dx, y: at.y - dy }, to: { x: at.x + dx, y: at.y + dy }, radius }];
}

function placedPart(layout: Layout, part: KicadPart, name: string, spot: Spot): PlacedPart {
  const shape = footprint(name);
  const pads = shape.pads.map((pad): PlacedPad => {
    const at = onBoard(spot, pad);
    const pinName = [...part.pads].find(([, numbers]) => numbers.includes(pad.number))?.[0];
    const pin: PinRef | null = pinName === undefined ? null : `${part.part.ref}.${pinName}`;
    const net = pin === null ? null : (netOf(layout.project.circuit, pin)?.name ?? null);
    const layers: readonly Layer[] = pad.drill === null ? ['F.Cu'] : LAYERS;
    const copper = {
      net,
      layers,
      shapes: padShapes(pad, at, isTurned(spot)),
      name: `${part.ref}.${pad.number}`,
    };
    return { ref: part.ref, pad, at, pin, net, copper };
  });
  return { part, spot, shape, pads };
}

/** Every part of the board; throws for one without a place. */
export function placedParts(layout: Layout): PlacedPart[] {
  return layout.project.parts.flatMap((part) => {
    if (part.footprint === null) return [];
    const spot = layout.parts[part.ref];
    if (spot === undefined) throw new Error(`${part.ref} has no place on the board`);
    return [placedPart(layout, part, part.footprint, spot)];
  });
}

/** The head of an M3 screw and its washer, mm. */
const SCREW_RADIUS_MM = 3.2;

export const screws = (layout: Layout): Copper[] =>
  layout.holes.map((at, index) => ({
    net: null,
    layers: LAYERS,
    shapes: [{ from: at, to: at, radius: SCREW_RADIUS_MM }],
    name: `H${index + 1}`,
  }));

export interface Track {
  readonly net: string;
  readonly layer: Layer;
  readonly from: Point;
  readonly to: Point;
  readonly width: number;
}

export interface Via {
  readonly net: string;
  readonly at: Point;
}

/** Width of the copper over the legs of one pin: no wider than lets the next leg's gap be, mm. */
const STRAP_MM = { smd: 1, hole: 1.6 } as const;

/** Short tracks between the legs of one pin, nearest first. */
export function straps(parts: readonly PlacedPart[]): Track[] {
  return parts.flatMap(({ pads }) => {
    const byPin = new Map<PinRef, PlacedPad[]>();
    for (const one of pads) {
      if (one.pin === null) continue;
      byPin.set(one.pin, [...(byPin.get(one.pin) ?? []), one]);
    }
    return [...byPin.values()].flatMap((legs) =>
      legs.slice(1).map((leg, index): Track => {
        const before = legs.slice(0, index + 1);
        const apart = (one: PlacedPad): number =>
          Math.hypot(one.at.x - leg.at.x, one.at.y - leg.at.y);
        const nearest = before.reduce((best, one) => (apart(one) < apart(best) ? one : best));
        const width = leg.pad.drill === null ? STRAP_MM.smd : STRAP_MM.hole;
        return { net: leg.net ?? '', layer: 'F.Cu', from: nearest.at, to: leg.at, width };
      }),
    );
  });
}

export const trackCopper = ({ net, layer, from, to, width }: Track): Copper => ({
  net,
  layers: [layer],
  shapes: [{ from, to, radius: width / 2 }],
  name: `track of ${net}`,
});
