/** Circuit symbols after IEC 60617, each with the places of its pins. */
import type { Part } from '../circuit/kinds';
import { packageOf } from '../circuit/packages';
import { circle, dot, LINE, line, type Point, polygon, text } from './svg';
import { shapeOf } from './symbol-shapes';

/** `down`: first pin on top; `up`: first pin below; `right`: first pin left; `left`: first pin right. */
export type Way = 'down' | 'up' | 'right' | 'left';

export interface Placing {
  readonly at: Point;
  readonly way: Way;
  /** Where reference and value are written, from the centre; default beside the symbol. */
  readonly label?: Point & { readonly anchor?: 'start' | 'middle' | 'end' };
}

export interface Drawn {
  readonly svg: string;
  readonly pins: ReadonlyMap<string, Point>;
  /** What wires of other nets must not cross: centre and half sizes. */
  readonly body: { readonly at: Point; readonly halfX: number; readonly halfY: number };
}

const ANGLE: Readonly<Record<Way, number>> = { down: 0, left: 90, up: 180, right: 270 };

function turned(point: Point, way: Way): Point {
  switch (way) {
    case 'down':
      return point;
    case 'left':
      return { x: -point.y, y: point.x };
    case 'up':
      return { x: -point.x, y: -point.y };
    case 'right':
      return { x: point.y, y: -point.x };
  }
}

const p = (x: number, y: number): Point => ({ x, y });

/** Text that belongs into a round symbol stays upright however the symbol is turned. */
const INSCRIBED: Readonly<Record<string, string>> = { M1: 'M' };

/** The name of a leg and its number in the package: `D 5-8`. Makers of small transistors have orders of their own. */
function legText(part: Part, leg: string): string {
  const pads = part.ratings.kind === 'mosfet' ? (packageOf(part)?.pads[leg] ?? []) : [];
  const [first, last] = [pads[0], pads.at(-1)];
  if (first === undefined) return leg;
  return first === last ? `${leg} ${first}` : `${leg} ${first}-${last}`;
}

/** A part with a symbol of its own; null for modules and connectors, whose pins stand alone. */
export function drawPart(part: Part, placing: Placing): Drawn | null {
  const shape = shapeOf(part);
  if (shape === null) return null;
  const { at, way } = placing;
  const lying = way === 'left' || way === 'right';
  const pins = new Map(
    Object.entries(shape.pins).map(([name, point]) => {
      const there = turned(point, way);
      return [name, { x: at.x + there.x, y: at.y + there.y }];
    }),
  );
  const label =
    placing.label ??
    (lying ? { x: 0, y: -6.2, anchor: 'middle' as const } : { x: shape.halfX + 1.5, y: -0.6 });
  const anchor = label.anchor ?? 'start';
  const words = [
    text({ x: at.x + label.x, y: at.y + label.y }, part.ref, {
      size: 2.9,
      bold: true,
      anchor,
      halo: true,
    }),
    text({ x: at.x + label.x, y: at.y + label.y + 3.4 }, part.value, {
      size: 2.6,
      anchor,
      halo: true,
    }),
  ];
  const legs = Object.entries(shape.legs ?? {}).map(([leg, spot]) => {
    const there = turned(spot, way);
    const point = { x: at.x + there.x, y: at.y + there.y + 0.75 };
    return text(point, legText(part, leg), { size: 1.9, anchor: 'middle', halo: true });
  });
  const inscribed = INSCRIBED[part.ref];
  return {
    svg: [
      `<g transform="translate(${at.x} ${at.y}) rotate(${ANGLE[way]})">${shape.svg.join('')}</g>`,
      ...words,
      ...legs,
      ...(inscribed === undefined
        ? []
        : [text({ x: at.x, y: at.y + 1.5 }, inscribed, { size: 4.2, anchor: 'middle' })]),
    ].join('\n'),
    pins,
    body: {
      at,
      halfX: lying ? shape.halfY : shape.halfX,
      halfY: lying ? shape.halfX : shape.halfY,
    },
  };
}

/** A pole of a connector or terminal: an open circle on the wire, its name beside it. */
export function pole(
  at: Point,
  words: string,
  label: Point,
  anchor: 'start' | 'middle' | 'end',
): string {
  return (
    circle(at, 1.1, { fill: 'white' }) +
    text({ x: at.x + label.x, y: at.y + label.y }, words, { size: 2.3, anchor, halo: true })
  );
}

/** A test point: a small ring with a stalk. */
export function testPoint(at: Point, words: string): string {
  return (
    line(at, { x: at.x, y: at.y - 3.2 }, { width: LINE.thin }) +
    circle({ x: at.x, y: at.y - 4.2 }, 1, { fill: 'white', width: LINE.thin }) +
    text({ x: at.x, y: at.y - 6 }, words, { size: 2.2, anchor: 'middle', halo: true })
  );
}

export function ground(at: Point, quiet: boolean): string {
  if (quiet) {
    return (
      polygon([p(at.x - 2.6, at.y + 1.5), p(at.x + 2.6, at.y + 1.5), p(at.x, at.y + 4.6)], {
        fill: 'white',
      }) +
      line(at, p(at.x, at.y + 1.5)) +
      text(p(at.x, at.y + 7.6), 'AGND', { size: 2.1, anchor: 'middle' })
    );
  }
  return (
    line(at, p(at.x, at.y + 1.5)) +
    line(p(at.x - 2.8, at.y + 1.5), p(at.x + 2.8, at.y + 1.5), { width: 0.6 }) +
    line(p(at.x - 1.8, at.y + 2.7), p(at.x + 1.8, at.y + 2.7), { width: 0.6 }) +
    line(p(at.x - 0.8, at.y + 3.9), p(at.x + 0.8, at.y + 3.9), { width: 0.6 })
  );
}

export { dot };
