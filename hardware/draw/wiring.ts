/** The wiring picture: every wire between boards and out of the box, and the list of them. */
import { PROBE_NAMES } from '../../shared/board/probes';
import { splitPin } from '../circuit/circuit';
import { BOARD_POSITIONS, boardPin, SENSE_PIN } from '../circuit/controller';
import { type Circuit, COLOURS, type PinRef, WIRE_SIZES, type Wire } from '../circuit/kinds';
import { PROBE_CIRCUITS, PROBE_LIST, probePin } from '../circuit/probes';
import { PROBE_SPOTS } from './probe-spots';
import { LINE, line, type Point, polygon, polyline, rect, sheet, text } from './svg';

/** A box with terminals down its left and right side. */
interface Box {
  readonly ref: string;
  readonly title: string;
  readonly x: number;
  readonly width: number;
  readonly top: number;
  readonly left: readonly string[];
  readonly right: readonly string[];
}

/** Free rows are written as an empty name. */
const STEP = 5.6;

/** Columns from left to right: walls, power side, controller, signal side, outside. */
const WALL = { x: 10, width: 18 };
const POWER = { x: 64, width: 30 };
const LOGIC = { x: 132, width: 36 };
const SIGNAL = { x: 202, width: 28 };
const OUTSIDE = { x: 264, width: 24 };

const PROBE_PINS = PROBE_NAMES.map(probePin);
const SIGNAL_PINS = [
  boardPin('scaleClock'),
  boardPin('scaleData'),
  boardPin('linkTx'),
  boardPin('linkRx'),
];
const ADC_POLES = PROBE_LIST.map(({ adcPole }) => adcPole);
const PROBE_POLES = PROBE_LIST.flatMap(({ pole }) => [pole, `${pole}-`]);

const BOXES: readonly Box[] = [
  { ...WALL, ref: 'J1', title: 'J1 inlet', top: 40, left: [], right: ['+', '-'] },
  { ...WALL, ref: 'J2', title: 'J2 mat', top: 68, left: [], right: ['1', '2'] },
  { ...WALL, ref: 'J3', title: 'J3 pump', top: 96, left: [], right: ['1', '2'] },
  { ...WALL, ref: 'LS1', title: 'LS1 sounder', top: 122, left: [], right: ['+', '-'] },
  { ...POWER, ref: 'F1', title: 'F1 7.5 A, in line', top: 32, left: ['1', '2'], right: [] },
  {
    ...POWER,
    ref: 'X1',
    title: 'Power board X1',
    top: 56,
    left: ['IN+', 'IN-', '', 'MAT+', 'MAT-', '', 'PUMP+', 'PUMP-', '', 'LS+', 'LS-'],
    right: ['BUCK+', 'BUCK-', '5V', 'VSYS', '', 'MAT', 'PUMP', 'SND', 'FEED', 'GND', 'SENSE'],
  },
  {
    ...LOGIC,
    ref: 'A2',
    title: 'A2 5 V converter',
    top: 34,
    left: ['IN+', 'IN-', 'OUT+', 'OUT-'],
    right: [],
  },
  {
    ...LOGIC,
    ref: 'A1',
    title: 'A1 controller',
    top: 74,
    left: [
      'GND',
      'VSYS',
      '',
      boardPin('mat'),
      boardPin('pump'),
      boardPin('sounder'),
      boardPin('feed'),
      'GND3',
      SENSE_PIN,
    ],
    right: ['3V3', 'GND2', 'ADC_VREF', 'AGND', ...PROBE_PINS, ...SIGNAL_PINS],
  },
  {
    ...SIGNAL,
    ref: 'X2',
    title: 'Signal board X2',
    top: 74,
    left: ['3V3', 'GND', 'VREF', 'AGND', ...ADC_POLES, 'CLK', 'DATA', 'TX', 'RX'],
    right: [...PROBE_POLES, '', 'SC-V', 'SC-G', 'SC-CLK', 'SC-DATA'],
  },
  ...PROBE_NAMES.map((name): Box => {
    const { probe, marked } = PROBE_CIRCUITS[name];
    const title = `${probe} ${marked.toLowerCase()}`;
    const { boxTop: top } = PROBE_SPOTS[name];
    return { ...OUTSIDE, ref: probe, title, top, left: ['1', '2'], right: [] };
  }),
  {
    ...OUTSIDE,
    ref: 'A3',
    title: 'A3 bridge conv.',
    top: 100,
    left: ['VCC', 'GND', 'SCK', 'DT'],
    right: [],
  },
];

/** Lanes between the columns, from x to x. */
const LANES: readonly (readonly [number, number])[] = [
  [WALL.x + WALL.width, POWER.x],
  [POWER.x + POWER.width, LOGIC.x],
  [LOGIC.x + LOGIC.width, SIGNAL.x],
  [SIGNAL.x + SIGNAL.width, OUTSIDE.x],
];

/** Where a pin of the picture is, and on which side of its box. */
function terminal(pin: PinRef): { at: Point; side: 'left' | 'right' } | null {
  const { ref, pin: name } = splitPin(pin);
  for (const box of BOXES) {
    if (box.ref !== ref) continue;
    for (const side of ['left', 'right'] as const) {
      const row = box[side].indexOf(name);
      if (row >= 0) {
        return {
          at: { x: side === 'left' ? box.x : box.x + box.width, y: box.top + 4 + row * STEP },
          side,
        };
      }
    }
  }
  return null;
}

interface Run {
  readonly wire: Wire;
  readonly from: Point;
  readonly to: Point;
}

/** Wires whose two ends are both boxes of the picture. */
function runs(circuit: Circuit): Run[] {
  return circuit.wires.flatMap((wire) => {
    const a = terminal(wire.from);
    const b = terminal(wire.to);
    if (a === null || b === null) return [];
    const [from, to] = a.at.x <= b.at.x ? [a.at, b.at] : [b.at, a.at];
    return [{ wire, from, to }];
  });
}

const laneOf = ({ from, to }: Run): number =>
  LANES.findIndex(([low, high]) => to.x === high || from.x === low);

/** Room for the tags at the left and the right end of a lane, mm. */
const TAG_MM = { left: 16.5, right: 6 } as const;

/**
 * A track for each wire between two columns. Rising wires take their tracks from the left in the
 * order of their start, falling ones from the right, so that wires of one bundle do not cross.
 */
function tracks(circuit: Circuit): { run: Run; x: number }[] {
  const all = runs(circuit);
  const falls = (run: Run): boolean => run.to.y >= run.from.y;
  return LANES.flatMap(([low, high], lane) => {
    const order = all
      .filter((run) => laneOf(run) === lane && run.from.y !== run.to.y)
      .sort((a, b) => {
        if (falls(a) !== falls(b)) return falls(a) ? 1 : -1;
        return falls(a) ? b.from.y - a.from.y : a.from.y - b.from.y;
      });
    const from = low + TAG_MM.left;
    const space = high - TAG_MM.right - from;
    const turning = order.map((run, i) => ({
      run,
      x: from + (space * (i + 1)) / (order.length + 1),
    }));
    const straight = all
      .filter((run) => laneOf(run) === lane && run.from.y === run.to.y)
      .map((run) => ({ run, x: (low + high) / 2 }));
    return [...turning, ...straight];
  });
}

function wireSvg({ run, x }: { run: Run; x: number }): string[] {
  const { wire, from, to } = run;
  const width = wire.mm2 >= 0.75 ? LINE.thick : wire.mm2 >= 0.5 ? 0.6 : LINE.thin;
  const number = wire.id.slice(1);
  const tag = `${number} ${wire.colour} ${wire.mm2}`;
  const style = { size: 2.3, bold: true, halo: true };
  const back = from.x === to.x;
  return [
    polyline([from, { x, y: from.y }, { x, y: to.y }, to], { width }),
    back
      ? text({ x: from.x - 1, y: from.y - 0.8 }, tag, { ...style, anchor: 'end' })
      : text({ x: from.x + 1, y: from.y - 0.8 }, tag, style),
    text({ x: to.x - 1, y: to.y - 0.8 }, number, { ...style, anchor: 'end' }),
  ];
}

function boxSvg(box: Box): string[] {
  const rows = Math.max(box.left.length, box.right.length);
  const number = (name: string): string => {
    const position = box.ref === 'A1' ? BOARD_POSITIONS[name] : undefined;
    return position === undefined ? '' : ` (${position})`;
  };
  const label = (name: string, row: number, side: 'left' | 'right'): string =>
    name === ''
      ? ''
      : text(
          {
            x: side === 'left' ? box.x + 1.2 : box.x + box.width - 1.2,
            y: box.top + 5 + row * STEP,
          },
          `${name}${number(name)}`,
          { size: 2.3, anchor: side === 'left' ? 'start' : 'end' },
        );
  return [
    rect(box.x, box.top, box.width, rows * STEP + 2.4, { width: 0.6, fill: 'white' }),
    text({ x: box.x + box.width / 2, y: box.top - 1.4 }, box.title, {
      size: 2.5,
      bold: true,
      anchor: 'middle',
      halo: true,
    }),
    ...box.left.map((name, row) => label(name, row, 'left')),
    ...box.right.map((name, row) => label(name, row, 'right')),
  ];
}

/** Columns of the list of wires: what, and how far from its left edge, mm. */
const CELLS: readonly (readonly [number, (wire: Wire) => string])[] = [
  [0, (wire) => wire.id],
  [8, (wire) => wire.from.replace('.', ' ')],
  [30, (wire) => wire.to.replace('.', ' ')],
  [50, (wire) => `${wire.colour} ${COLOURS[wire.colour]}`],
  [66, (wire) => `${wire.mm2} mm²`],
  [79, (wire) => `AWG ${WIRE_SIZES[wire.mm2].awg}`],
];

const TABLE_TOP = 150;
/** From the first row to the last one above the foot of the sheet, mm, and how far apart rows are at most. */
const TABLE_MM = { height: 42, row: 3.2 } as const;

/** Outline of the box: the probes' and the load cell's leads cross it through glands. */
const ENCLOSURE: readonly Point[] = [
  { x: 19, y: 24 },
  { x: 258.5, y: 24 },
  { x: 258.5, y: 86 },
  { x: 291, y: 86 },
  { x: 291, y: 146 },
  { x: 19, y: 146 },
];

/** The picture with its list of wires below. */
export function drawWiring(circuit: Circuit): string {
  const columns = 3;
  const each = Math.ceil(circuit.wires.length / columns);
  const rowMm = Math.min(TABLE_MM.row, TABLE_MM.height / (each - 1));
  const table = circuit.wires.flatMap((wire, i) =>
    CELLS.map(([x, words]) =>
      text(
        { x: 11 + Math.floor(i / each) * 94 + x, y: TABLE_TOP + 5 + (i % each) * rowMm },
        words(wire),
        { size: 2.3, bold: x === 0 },
      ),
    ),
  );
  return sheet(
    'Wiring: every wire, its colour and its copper',
    'Tags read "number colour mm²" with the letters of IEC 60757; numbers in brackets are positions on the 40-pin board. Thick lines: 0.75 mm² and more.',
    [
      polygon(ENCLOSURE, { width: LINE.thin, dash: '4 2' }),
      text(
        { x: 66, y: 143.5 },
        'Enclosure: IP54 or better, outside the drip tray and above it. Leads leave it downwards through glands.',
        {
          size: 2.4,
        },
      ),
      ...tracks(circuit).flatMap(wireSvg),
      ...BOXES.flatMap(boxSvg),
      ...[
        'Load cell LC1 on A3',
        'through a gland:',
        'E+ red, E- black,',
        'A+ green, A- white',
        '(W36 to W39)',
      ].map((words, i) => text({ x: OUTSIDE.x, y: 129 + i * 3.2 }, words, { size: 2.3 })),
      line({ x: 10, y: TABLE_TOP }, { x: 287, y: TABLE_TOP }, { width: LINE.fine }),
      ...table,
    ],
  );
}
