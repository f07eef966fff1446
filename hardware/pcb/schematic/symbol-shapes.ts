/** What KiCad's symbols look like: lines and boxes about the middle, mm, y upwards, the first pin on top. */
import type { Part } from '../../circuit/kinds';
import { type Form, q } from '../expression';

export interface PinSpot {
  readonly name: string;
  /** Outer end, where the wire meets it. */
  readonly x: number;
  readonly y: number;
  /** Where it points from there: 0 right, 90 up, 180 left, 270 down. */
  readonly turn: number;
  readonly length: number;
}

export interface Shape {
  readonly id: string;
  readonly lines: readonly Form[];
  readonly pins: readonly PinSpot[];
  readonly showNumbers: boolean;
}

type XY = readonly [number, number];

const stroke = (width = 0.254): Form => ['stroke', ['width', width], ['type', 'default']];
const fill = (type: 'none' | 'outline' | 'background' = 'none'): Form => ['fill', ['type', type]];

/** A line through points written as `x,y x,y`. */
export const polyline = (
  points: string,
  filled: 'none' | 'outline' | 'background' = 'none',
  width?: number,
): Form => [
  'polyline',
  ['pts', ...points.split(' ').map((point): Form => ['xy', ...point.split(',').map(Number)])],
  stroke(width),
  fill(filled),
];
export const box = (from: XY, to: XY, filled: 'none' | 'background' = 'none'): Form => [
  'rectangle',
  ['start', ...from],
  ['end', ...to],
  stroke(),
  fill(filled),
];
export const ring = (centre: XY, radius: number): Form => [
  'circle',
  ['center', ...centre],
  ['radius', radius],
  stroke(),
  fill(),
];
export const words = (text: string, [x, y]: XY, size: number, anchor?: 'left' | 'right'): Form => [
  'text',
  q(text),
  ['at', x, y, 0],
  [
    'effects',
    ['font', ['size', size, size]],
    ...(anchor === undefined ? [] : [['justify', anchor] as const]),
  ],
];

/** Half the length of a symbol with two pins, as on the drawings. */
const REACH = 7.62;
/** Pin on top and pin below, their inner ends this far from the middle. */
const upDown = (names: readonly [string, string], inner: number): PinSpot[] => [
  { name: names[0], x: 0, y: REACH, turn: 270, length: REACH - inner },
  { name: names[1], x: 0, y: -REACH, turn: 90, length: REACH - inner },
];

/** Anode on top; the bar is the cathode. */
function diodeLines(style: string): Form[] {
  const bars: Readonly<Record<string, string>> = {
    schottky: '-1.9,-0.6 -1.9,-1.27 1.9,-1.27 1.9,-1.9',
    zener: '-2.2,-0.7 -1.9,-1.27 1.9,-1.27 2.2,-1.9',
  };
  const bar = bars[style === 'suppressor' ? 'zener' : style] ?? '-1.9,-1.27 1.9,-1.27';
  const triangle = '-1.9,1.27 1.9,1.27 0,-1.27 -1.9,1.27';
  return [polyline(triangle), polyline(bar)];
}

function mosfetShape(channel: 'n' | 'p'): Shape {
  const tip = channel === 'n' ? -2.3 : -0.6;
  const back = channel === 'n' ? -1.0 : -1.9;
  return {
    id: channel === 'n' ? 'Q_N_channel' : 'Q_P_channel',
    lines: [
      ring([-1, 0], 4.6),
      polyline('-3.2,2.5 -3.2,-2.5'),
      polyline('-2.4,3.1 -2.4,1.6', 'none', 0.4),
      polyline('-2.4,0.75 -2.4,-0.75', 'none', 0.4),
      polyline('-2.4,-1.6 -2.4,-3.1', 'none', 0.4),
      polyline('-2.4,2.4 0,2.4 0,4'),
      polyline('-2.4,-2.4 0,-2.4 0,-4'),
      polyline('-2.4,0 0,0 0,-2.4'),
      polyline(`${tip},0 ${back},0.7 ${back},-0.7 ${tip},0`, 'outline'),
      // The body diode, which passes from source to drain in the N channel, and the other way in the P channel.
      polyline('0,2.4 1.6,2.4 1.6,-2.4 0,-2.4'),
      ...(channel === 'n'
        ? [polyline('0.9,-0.6 2.3,-0.6 1.6,0.6 0.9,-0.6', 'outline'), polyline('0.9,0.6 2.3,0.6')]
        : [polyline('0.9,0.6 2.3,0.6 1.6,-0.6 0.9,0.6', 'outline'), polyline('0.9,-0.6 2.3,-0.6')]),
    ],
    pins: [
      { name: 'D', x: 0, y: REACH, turn: 270, length: REACH - 4 },
      { name: 'S', x: 0, y: -REACH, turn: 90, length: REACH - 4 },
      { name: 'G', x: -REACH, y: 0, turn: 0, length: REACH - 3.2 },
    ],
    showNumbers: true,
  };
}

const TRANSISTOR: Shape = {
  id: 'Q_NPN',
  lines: [
    ring([-1, 0], 4.6),
    polyline('-3,2.8 -3,-2.8', 'none', 0.5),
    polyline('-3,1.2 0,3.3 0,4'),
    polyline('-3,-1.2 0,-3.3 0,-4'),
    polyline('-0.3,-3.1 -1.9,-2.7 -1.1,-1.6 -0.3,-3.1', 'outline'),
  ],
  pins: [
    { name: 'C', x: 0, y: REACH, turn: 270, length: REACH - 4 },
    { name: 'E', x: 0, y: -REACH, turn: 90, length: REACH - 4 },
    { name: 'B', x: -REACH, y: 0, turn: 0, length: REACH - 3 },
  ],
  showNumbers: true,
};

const BODY = box([-1.27, 3.4], [1.27, -3.4]);

function loadLines(part: Part): { lines: Form[]; inner: number } {
  if (part.block === 'pump')
    return { lines: [ring([0, 0], 3.81), words('M', [0, 0], 2.2)], inner: 3.81 };
  if (part.block === 'mat') {
    const zigzag = '0,3.8 -1.4,2.6 1.4,1.3 -1.4,0 1.4,-1.3 -1.4,-2.6 0,-3.8';
    return { lines: [box([-2.3, 3.81], [2.3, -3.81]), polyline(zigzag)], inner: 3.81 };
  }
  const bell: Form[] = [box([-1.6, 2.54], [1.6, -2.54]), words('♪', [0, 0], 1.8)];
  return { lines: bell, inner: 2.54 };
}

const two = (
  id: string,
  part: Part,
  lines: readonly Form[],
  inner: number,
  showNumbers = false,
): Shape => {
  const [first = '1', second = '2'] = Object.keys(part.pins);
  return { id, lines, pins: upDown([first, second], inner), showNumbers };
};

function capacitorShape(part: Part, polarised: boolean): Shape {
  const plates = [box([-2.2, 0.9], [2.2, 0.6]), box([-2.2, -0.6], [2.2, -0.9])];
  const plus = polarised ? [polyline('-2.2,2.1 -1,2.1'), polyline('-1.6,2.7 -1.6,1.5')] : [];
  return two(polarised ? 'C_polarised' : 'C', part, [...plates, ...plus], 0.9);
}

/** The symbol of a part that has one of its own; null for modules and connectors, whose pins stand alone. */
export function shapeOf(part: Part): Shape | null {
  const { ratings } = part;
  switch (ratings.kind) {
    case 'resistor':
      return two('R', part, [BODY], 3.4);
    case 'capacitor':
      return capacitorShape(part, ratings.dielectric === 'electrolytic');
    case 'diode':
      return two(`D_${ratings.style}`, part, diodeLines(ratings.style), 1.27);
    case 'lamp':
      return two('D_lamp', part, [...diodeLines('silicon'), ...LIGHT], 1.27);
    case 'fuse':
      return two('Fuse', part, [BODY, polyline('0,3.4 0,-3.4')], 3.4);
    case 'cut-out':
      return two(
        'Thermal_link',
        part,
        [BODY, polyline('0,3.4 0,-3.4'), words('ϑ', [-2.6, 0], 1.6)],
        3.4,
      );
    case 'thermistor':
      return two(
        'NTC',
        part,
        [BODY, polyline('-3,-3 -2,-3 2.4,3.4'), words('-ϑ', [-3.6, -1.6], 1.3)],
        3.4,
      );
    case 'mosfet':
      return mosfetShape(ratings.channel);
    case 'bipolar':
      return TRANSISTOR;
    case 'load': {
      const { lines, inner } = loadLines(part);
      return two(`Load_${part.block}`, part, lines, inner);
    }
    case 'test-point':
      return {
        id: 'Test_point',
        lines: [ring([0, 3.6], 0.8), polyline('0,0 0,2.8')],
        pins: [{ name: '1', x: 0, y: 0, turn: 90, length: 0 }],
        showNumbers: false,
      };
    default:
      return null;
  }
}

const LIGHT: readonly Form[] = [polyline('2.4,0.4 4,2 3.2,1.8'), polyline('2.4,-1 4,0.6 3.2,0.4')];
