/** Circuit symbols after IEC 60617, each with the places of its pins. */
import type { Part } from '../circuit/kinds';
import { packageOf } from '../circuit/packages';
import { circle, dot, LINE, line, type Point, path, polygon, polyline, rect, text } from './svg';

/** Half the length of a two-pin symbol, mm. */
export const REACH = 7.5;

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

/** Local drawing, pin 1 on top at (0, -REACH), pin 2 below. */
interface Local {
  readonly svg: readonly string[];
  readonly pins: Readonly<Record<string, Point>>;
  readonly halfX: number;
  readonly halfY: number;
  /** Where the name of a leg stands, when mixing legs up matters. */
  readonly legs?: Readonly<Record<string, Point>>;
}

const p = (x: number, y: number): Point => ({ x, y });
const lead = (from: number, to: number): string => line(p(0, from), p(0, to));
const box = [lead(-REACH, -4), rect(-1.6, -4, 3.2, 8), lead(4, REACH)];

function twoPin(part: Part, svg: readonly string[], halfX = 2.5): Local {
  const [first = '1', second = '2'] = Object.keys(part.pins);
  return { svg, pins: { [first]: p(0, -REACH), [second]: p(0, REACH) }, halfX, halfY: 4.5 };
}

/** Diodes are drawn anode on top; the bar is the cathode. */
function diode(style: 'schottky' | 'silicon' | 'zener' | 'suppressor' | 'lamp'): string[] {
  const bar = {
    schottky: [p(-2.5, 1), p(-2.5, 1.9), p(2.5, 1.9), p(2.5, 2.8)],
    zener: [p(-3, 1), p(-2.3, 1.9), p(2.3, 1.9), p(3, 2.8)],
    suppressor: [p(-3, 1), p(-2.3, 1.9), p(2.3, 1.9), p(3, 2.8)],
    silicon: [p(-2.3, 1.9), p(2.3, 1.9)],
    lamp: [p(-2.3, 1.9), p(2.3, 1.9)],
  }[style];
  return [
    lead(-REACH, REACH),
    polygon([p(-2.3, -2.1), p(2.3, -2.1), p(0, 1.9)], { fill: 'white' }),
    polyline(bar),
    ...(style === 'lamp'
      ? [polyline([p(3, -2), p(5, -4)], {}), polyline([p(4, -0.5), p(6, -2.5)], {})]
      : []),
  ];
}

/** Places of the names of legs beside their leads. */
const LEG_NAMES = {
  mosfet: { D: p(4, -6.5), S: p(4, 6), G: p(-8.2, -1.6) },
  transistor: { C: p(1.8, -6.3), E: p(1.8, 6), B: p(-7.6, -1.6) },
} as const;

/** From source to drain in the N channel, from drain to source in the P channel: drain is on top. */
function bodyDiode(channel: 'n' | 'p'): string[] {
  const up = channel === 'n' ? 1 : -1;
  return [
    polyline([p(0, -2.4), p(1.9, -2.4), p(1.9, 2.4), p(0, 2.4)], { width: LINE.thin }),
    polygon([p(1.1, up * 0.7), p(2.7, up * 0.7), p(1.9, up * -0.7)], {
      fill: 'black',
      width: 0.1,
    }),
    line(p(1.1, up * -0.7), p(2.7, up * -0.7), { width: LINE.thin }),
  ];
}

function mosfet(channel: 'n' | 'p'): Local {
  const inward = channel === 'n';
  const head = inward
    ? [p(-1, 0), p(0.8, -0.9), p(0.8, 0.9)]
    : [p(1.2, 0), p(-0.6, -0.9), p(-0.6, 0.9)];
  // Source below for the N channel; a P channel is drawn with its source below as well, and turned.
  return {
    svg: [
      circle(p(-1, 0), 5, { width: LINE.thin }),
      line(p(-REACH, 0), p(-3.2, 0)),
      line(p(-3.2, -2.8), p(-3.2, 2.8), { width: 0.6 }),
      line(p(-2.2, -3.2), p(-2.2, -1.6), { width: 0.6 }),
      line(p(-2.2, -0.8), p(-2.2, 0.8), { width: 0.6 }),
      line(p(-2.2, 1.6), p(-2.2, 3.2), { width: 0.6 }),
      polyline([p(-2.2, -2.4), p(0, -2.4), p(0, -REACH)]),
      polyline([p(-2.2, 2.4), p(0, 2.4), p(0, REACH)]),
      polyline([p(-2.2, 0), p(0, 0), p(0, 2.4)]),
      polygon(
        head.map(({ x, y }) => p(x - 1, y)),
        { fill: 'black', width: 0.1 },
      ),
      ...bodyDiode(channel),
    ],
    pins: { D: p(0, -REACH), S: p(0, REACH), G: p(-REACH, 0) },
    halfX: 6,
    halfY: 5,
    legs: LEG_NAMES.mosfet,
  };
}

const transistor: Local = {
  svg: [
    circle(p(-1, 0), 5, { width: LINE.thin }),
    line(p(-REACH, 0), p(-3, 0)),
    line(p(-3, -3), p(-3, 3), { width: 0.8 }),
    polyline([p(-3, -1.4), p(0, -3.6), p(0, -REACH)]),
    polyline([p(-3, 1.4), p(0, 3.6), p(0, REACH)]),
    polygon([p(-0.3, 3.4), p(-2.1, 3.2), p(-1, 1.7)], { fill: 'black', width: 0.1 }),
  ],
  pins: { C: p(0, -REACH), E: p(0, REACH), B: p(-REACH, 0) },
  halfX: 6,
  halfY: 5,
  legs: LEG_NAMES.transistor,
};

const capacitor = (polar: boolean): string[] => [
  lead(-REACH, -1),
  line(p(-3, -1), p(3, -1), { width: 0.6 }),
  polar
    ? rect(-3, 0.6, 6, 1.2, { fill: 'black', width: 0.3 })
    : line(p(-3, 1), p(3, 1), { width: 0.6 }),
  lead(polar ? 1.8 : 1, REACH),
  ...(polar ? [line(p(-4, -3), p(-2.4, -3)), line(p(-3.2, -3.8), p(-3.2, -2.2))] : []),
];

function load(part: Part): string[] {
  if (part.block === 'mat') {
    return [
      lead(-REACH, -4.5),
      rect(-2.6, -4.5, 5.2, 9),
      polyline([
        p(0, -4.5),
        p(1.6, -3.4),
        p(-1.6, -1.7),
        p(1.6, 0),
        p(-1.6, 1.7),
        p(1.6, 3.4),
        p(0, 4.5),
      ]),
      lead(4.5, REACH),
    ];
  }
  if (part.block === 'pump') {
    return [lead(-REACH, -4.2), circle(p(0, 0), 4.2), lead(4.2, REACH)];
  }
  return [
    lead(-REACH, -2),
    polyline([p(0, -2), p(2, -2)]),
    path('M 2 -4 L 2 4 A 4.5 4 0 0 0 2 -4'),
    polyline([p(0, 2), p(2, 2)]),
    lead(2, REACH),
  ];
}

function local(part: Part): Local | null {
  const { ratings } = part;
  switch (ratings.kind) {
    case 'resistor':
      return twoPin(part, box);
    case 'capacitor':
      return twoPin(part, capacitor(ratings.dielectric === 'electrolytic'), 3.5);
    case 'diode':
      return twoPin(part, diode(ratings.style), 3);
    case 'lamp':
      return twoPin(part, diode('lamp'), 3);
    case 'fuse':
      return twoPin(part, [rect(-1.6, -4, 3.2, 8), lead(-REACH, REACH)]);
    case 'cut-out':
      return twoPin(
        part,
        [
          // Closed, as a fuse that warmth opens.
          rect(-1.6, -4, 3.2, 8),
          lead(-REACH, REACH),
          text(p(-5, 1), 'ϑ', { size: 3 }),
        ],
        4,
      );
    case 'thermistor':
      return twoPin(
        part,
        [
          ...box,
          polyline([p(-4, 4), p(-2.6, 4), p(3.4, -4.6)]),
          text(p(-6.5, 3), '−ϑ', { size: 2.8 }),
        ],
        3,
      );
    case 'mosfet':
      return mosfet(ratings.channel);
    case 'bipolar':
      return transistor;
    case 'load':
      return twoPin(part, load(part), 4.5);
    default:
      return null;
  }
}

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
  const shape = local(part);
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
