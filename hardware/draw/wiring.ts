/** The wiring picture: every wire between boards and out of the box, and which of them are one sheathed lead. */
import { splitPin } from '../circuit/circuit';
import { BOARD_POSITIONS } from '../circuit/controller';
import type { Circuit, Wire } from '../circuit/kinds';
import { isOutside } from '../circuit/leads';
import { LINE, line, type Point, path, polygon, polyline, rect, sheet, text } from './svg';
import {
  A1_TOP,
  BOXES,
  type Box,
  FIRST,
  LANES,
  LOADS,
  LOGIC,
  STEP,
  terminal,
  WALL,
} from './wiring-boxes';

interface Run {
  readonly wire: Wire;
  readonly from: Point;
  readonly to: Point;
}

/** Every wire from its left to its right end; throws for one that the picture has no place for. */
function runs(circuit: Circuit): Run[] {
  return circuit.wires.map((wire) => {
    const a = terminal(wire.from, wire.to);
    const b = terminal(wire.to, wire.from);
    if (a === null || b === null) throw new Error(`the wiring picture has no place for ${wire.id}`);
    const [from, to] = a.x <= b.x ? [a, b] : [b, a];
    return { wire, from, to };
  });
}

const laneOf = ({ from, to }: Run): number =>
  LANES.findIndex(([low, high]) => to.x === high || from.x === low);

const tagOf = ({ id, colour, mm2 }: Wire): string => `${id.slice(1)} ${colour} ${mm2}`;
const numberOf = ({ id }: Wire): string => id.slice(1);

/** What a tag takes beside its box, mm. */
const roomFor = (tag: string): number => 1.55 * tag.length + 1;
/** Between wires that come back to their own column, mm. */
const BACK_MM = 1.5;

const isBack = ({ from, to }: Run): boolean => from.x === to.x;
const spanOf = ({ from, to }: Run): number => Math.abs(to.y - from.y);
const isStraight = (run: Run): boolean => !isBack(run) && spanOf(run) < 0.01;

/**
 * A track for each wire between two columns. Rising wires take their tracks from the left in the order of their start,
 * falling ones from the right, so that wires of one bundle do not cross; those that come back to their own column keep
 * to its side, the longest outermost.
 */
function tracks(circuit: Circuit): { run: Run; x: number }[] {
  const all = runs(circuit);
  const falls = (run: Run): boolean => run.to.y >= run.from.y;
  return LANES.flatMap(([low, high], lane) => {
    const mine = all.filter((run) => laneOf(run) === lane);
    const bySpan = mine.filter(isBack).sort((a, b) => spanOf(a) - spanOf(b));
    const turning = mine
      .filter((run) => !isBack(run) && !isStraight(run))
      .sort((a, b) => {
        if (falls(a) !== falls(b)) return falls(a) ? 1 : -1;
        return falls(a) ? b.from.y - a.from.y : a.from.y - b.from.y;
      });
    const backAt = (x: number): Run[] => bySpan.filter(({ from }) => from.x === x);
    const roomAt = (x: number): number =>
      Math.max(
        ...backAt(x).map(({ wire }) => roomFor(tagOf(wire))),
        ...turning.map(({ wire }) => roomFor(x === low ? tagOf(wire) : numberOf(wire))),
      );
    const [from, to] = [low + roomAt(low), high - roomAt(high)];
    const first = from + backAt(low).length * BACK_MM;
    const last = to - backAt(high).length * BACK_MM;
    return [
      ...backAt(low).map((run, i) => ({ run, x: from + i * BACK_MM })),
      ...backAt(high).map((run, i) => ({ run, x: to - i * BACK_MM })),
      ...turning.map((run, i) => ({
        run,
        x: first + ((last - first) * (i + 1)) / (turning.length + 1),
      })),
      ...mine.filter(isStraight).map((run) => ({ run, x: (low + high) / 2 })),
    ];
  });
}

const TAG = { size: 2.3, bold: true, halo: true } as const;

function wireSvg({ run, x }: { run: Run; x: number }): string[] {
  const { wire, from, to } = run;
  const width = wire.mm2 >= 0.75 ? LINE.thick : wire.mm2 >= 0.5 ? 0.6 : LINE.thin;
  const atLeft = x > from.x;
  const beginAt = { x: from.x + (atLeft ? 1 : -1), y: from.y - 0.8 };
  const endsAtLeft = x > to.x;
  const endAt = { x: to.x + (endsAtLeft ? 1 : -1), y: to.y - 0.8 };
  return [
    polyline([from, { x, y: from.y }, { x, y: to.y }, to], { width }),
    text(beginAt, tagOf(wire), { ...TAG, anchor: atLeft ? 'start' : 'end' }),
    text(endAt, numberOf(wire), { ...TAG, anchor: endsAtLeft ? 'start' : 'end' }),
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
            y: box.top + FIRST + 1 + row * STEP,
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

/** Walls of the enclosure: at the left through the plugs, at the right before what the glands let through. */
const ENCLOSURE = { left: WALL.x + 6, right: 259, top: 24.5, bottom: 198 } as const;

/** An oval around the cores of one sheathed lead, where it comes to the wall. */
function oval(x: number, ys: readonly number[]): string {
  const [top, bottom] = [Math.min(...ys) - 2, Math.max(...ys) + 2];
  const half = (bottom - top) / 2;
  return path(
    `M ${x} ${top} a 1.3 ${half} 0 1 0 0 ${2 * half} a 1.3 ${half} 0 1 0 0 ${-2 * half}`,
    { width: LINE.thin },
  );
}

/** Middle of the ovals: outside the plugs, and outside the glands. */
const OVAL_X = { plugs: WALL.x - 6, glands: ENCLOSURE.right + 3.5 } as const;

/** Cores that pass the wall in one lead: those of a plug, and those of a part outside. */
function ovals(circuit: Circuit): string[] {
  const leads = new Map<string, { x: number; ys: number[] }>();
  for (const { wire, from, to } of runs(circuit)) {
    const refs = [wire.from, wire.to].map((pin) => splitPin(pin).ref);
    const outside = refs.filter((ref) => isOutside(circuit, ref));
    if (outside.length !== 1) continue;
    const plug = refs.find((ref) => /^J\d/.test(ref));
    const key = plug ?? outside[0] ?? '';
    const lead = leads.get(key) ?? { x: plug === undefined ? OVAL_X.glands : OVAL_X.plugs, ys: [] };
    lead.ys.push(plug === undefined ? from.y : to.y);
    leads.set(key, lead);
  }
  return [...leads.values()].map(({ x, ys }) => oval(x, ys));
}

/** What no wire of the list is: the lead of the supply unit, and USB from the controller to the wall. */
function beyondTheList(): string[] {
  const inlet = BOXES.find(({ ref }) => ref === 'J1');
  const y = (inlet?.top ?? 0) + FIRST;
  const ys = [y, y + 2 * STEP];
  const socket = { x: ENCLOSURE.right, y: 194 };
  const usb = { x: LOGIC.x + LOGIC.width - 8, y: A1_TOP + 10 * STEP + 2.4 };
  return [
    ...ys.map((row) =>
      line({ x: LOADS.x + LOADS.width, y: row }, { x: WALL.x, y: row }, { width: LINE.thick }),
    ),
    rect(LOADS.x, y - FIRST, LOADS.width, 3 * STEP + 2.4, { width: 0.6, dash: '2 1' }),
    text({ x: LOADS.x + LOADS.width / 2, y: y - FIRST - 1.4 }, 'Supply unit', {
      size: 2.5,
      bold: true,
      anchor: 'middle',
    }),
    ...['+', '-'].map((pole, i) =>
      text({ x: LOADS.x + LOADS.width - 1.2, y: (ys[i] ?? y) + 1 }, pole, {
        size: 2.3,
        anchor: 'end',
      }),
    ),
    oval(OVAL_X.plugs, ys),
    polyline([usb, { x: usb.x, y: socket.y }, socket], { width: LINE.thin, dash: '1.2 1' }),
    rect(socket.x - 2, socket.y - 2, 4, 4, { width: 0.6, fill: 'white' }),
    text({ x: socket.x + 4, y: socket.y + 0.8 }, 'USB socket, right wall', { size: 2.3 }),
    text({ x: usb.x - 1.5, y: usb.y + 8 }, 'USB of A1: the lead of the socket', {
      size: 2.3,
      anchor: 'end',
    }),
  ];
}

/** The picture. Its list of wires is a sheet of its own. */
export function drawWiring(circuit: Circuit): string {
  const { left, right, top, bottom } = ENCLOSURE;
  return sheet(
    'Wiring: every wire, its colour and its copper',
    'Tags read "number colour mm²" with the letters of IEC 60757; numbers in brackets are positions on the 40-pin board. Thick lines: 0.75 mm² and more. The list: wires.',
    [
      polygon(
        [
          { x: left, y: top },
          { x: right, y: top },
          { x: right, y: bottom },
          { x: left, y: bottom },
        ],
        { width: LINE.thin, dash: '4 2' },
      ),
      ...[
        'Enclosure (dashed): IP54 or better, outside the drip tray and above it. Leads',
        'leave it downwards. An oval: the cores of one round sheathed lead, tight in the',
        'plug or gland that it passes; 41 is the leads of link and mat themselves.',
      ].map((words, i) => text({ x: left + 4, y: 184 + i * 3.6 }, words, { size: 2.4 })),
      ...tracks(circuit).flatMap(wireSvg),
      ...ovals(circuit),
      ...beyondTheList(),
      ...BOXES.flatMap(boxSvg),
    ],
  );
}
