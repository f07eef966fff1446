/** Shapes of the circuit symbols after IEC 60617, as they stand before they are turned and put in their place. */
import type { Part } from '../circuit/kinds';
import { circle, LINE, line, type Point, path, polygon, polyline, rect, text } from './svg';

/** Half the length of a two-pin symbol, mm. */
const REACH = 7.5;

/** Drawn round its own centre, pin 1 on top at (0, -REACH), pin 2 below. */
export interface Shape {
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

function twoPin(part: Part, svg: readonly string[], halfX = 2.5): Shape {
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

function mosfet(channel: 'n' | 'p'): Shape {
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

const transistor: Shape = {
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

/** The shape of a part that has a symbol of its own; else null. */
export function shapeOf(part: Part): Shape | null {
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
