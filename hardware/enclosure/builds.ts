/** What stands on the back of the enclosure: the boards from a maker, or the strip boards. */
import { BOARDS } from '../circuit/boards';
import type { Place } from '../circuit/kinds';
import { type BoardPlan, boardSize } from '../circuit/strips';
import type { Point } from '../draw/svg';
import type { Layout } from '../pcb/layout';
import { layoutOf } from '../pcb/layouts';
import { CARRIER, POWER } from '../pcb/projects';
import { STANDOFF_MM } from './fits';
import { inner, type Room, SHAPE } from './shape';

export type BuildName = 'ordered' | 'strip';

type Edge = 'left' | 'right' | 'top' | 'bottom';

/** A board by itself: mm from its upper left corner, downwards, seen from the side of the parts. */
interface Bare {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly holes: readonly Point[];
  /** Edges at which wires enter terminals. */
  readonly wires: readonly Edge[];
  /** From either end of such an edge to the first terminal. */
  readonly bareMm: number;
  /** How high its parts stand above it. */
  readonly tallMm: number;
}

/** A board in its place: mm from the left and the bottom of the enclosure, upwards. */
export interface Mounted extends Omit<Bare, 'holes'> {
  readonly left: number;
  readonly bottom: number;
  /** Middles of its standoffs; none where it sticks by tape. */
  readonly standoffs: readonly Point[];
  /** Its underside, from the outer side of the back. */
  readonly backMm: number;
}

/** A plug that is put in from the side: the room it needs there. */
interface PlugRoom extends Point {
  readonly width: number;
  readonly height: number;
}

export interface Build {
  readonly name: BuildName;
  readonly title: string;
  readonly boards: readonly Mounted[];
  /** Before the USB socket of the controller board. */
  readonly usb: PlugRoom;
  /** The controller board's lamp, and the board that it belongs to. */
  readonly lamp: Point & { readonly on: string };
}

/** Thickness of a board; mounting tape with its foam. */
const BOARD_MM = 1.6;
const TAPE_MM = 1;
/** From the edge of a board to where a wire has turned along it: a ferrule and a bend of 0.75 mm². */
const WIRE_ROOM_MM = 15;
/** A straight plug at the end of the USB lead, and its bend. */
const USB_PLUG_MM = { long: 35, wide: 16 } as const;

const turnedEdge: Readonly<Record<Edge, Edge>> = {
  left: 'bottom',
  bottom: 'right',
  right: 'top',
  top: 'left',
};

/** Puts a board in its place; `turned`: a quarter turn, its left edge down. */
function mounted(
  board: Bare,
  at: { readonly left: number; readonly bottom: number },
  turned = false,
): Mounted {
  const { holes, ...rest } = board;
  return {
    ...rest,
    ...at,
    width: turned ? board.height : board.width,
    height: turned ? board.width : board.height,
    wires: turned ? board.wires.map((edge) => turnedEdge[edge]) : board.wires,
    standoffs: holes.map(({ x, y }) => ({
      x: at.left + (turned ? y : x),
      y: at.bottom + (turned ? x : board.height - y),
    })),
    backMm: SHAPE.wallMm + (holes.length > 0 ? STANDOFF_MM : TAPE_MM),
  };
}

/** Terminals stand this near to an edge, or they are not at it. */
const AT_EDGE_MM = 10;

/** A board of `pcb/`: wires enter where its terminals stand. */
function ordered({ project, width, height, holes, parts }: Layout, tallMm: number): Bare {
  const near = new Set<Edge>();
  for (const [ref, [x, y]] of Object.entries(parts)) {
    if (!/^X\d/.test(ref)) continue;
    if (x < AT_EDGE_MM) near.add('left');
    if (x > width - AT_EDGE_MM) near.add('right');
    if (y < AT_EDGE_MM) near.add('top');
    if (y > height - AT_EDGE_MM) near.add('bottom');
  }
  return {
    name: `${project.name} board`,
    width,
    height,
    holes,
    wires: [...near],
    bareMm: 0,
    tallMm,
  };
}

const PITCH_MM = 2.54;
/** Strips left free beyond the first and the last one: standoffs stand in the middle one. */
const MARGIN_STRIPS = 3;
/** Holes from either end of the board to its standoffs: clear of the terminals. */
const STANDOFF_HOLE = 6;

/** The plan of a place, or an error: a build without it is none. */
function planFor(place: Place): BoardPlan {
  const plan = BOARDS.find((board) => board.place === place);
  if (plan === undefined) throw new Error(`there is no layout for ${place}`);
  return plan;
}

/** Strips and holes to buy for a strip board, its margins included. */
export function stripBoardToBuy(place: Place): { readonly strips: number; readonly holes: number } {
  const { strips, holes } = boardSize(planFor(place));
  return { strips: strips + 2 * MARGIN_STRIPS, holes };
}

function stripBoard(place: Place, name: string, tallMm: number): Bare {
  const { strips, holes } = stripBoardToBuy(place);
  const [width, height] = [holes * PITCH_MM, strips * PITCH_MM];
  const middle = (count: number): number => (count - 0.5) * PITCH_MM;
  const columns = [middle(STANDOFF_HOLE), width - middle(STANDOFF_HOLE)];
  const rows = [middle(2), height - middle(2)];
  return {
    name,
    width,
    height,
    holes: rows.flatMap((y) => columns.map((x) => ({ x, y }))),
    wires: ['left', 'right'],
    bareMm: MARGIN_STRIPS * PITCH_MM,
    tallMm,
  };
}

/** Modules stick by tape. Sizes of the usual ones, from memory. */
const module = (name: string, width: number, height: number): Bare => ({
  name,
  width,
  height,
  holes: [],
  wires: [],
  bareMm: 0,
  tallMm: 18,
});
const CONVERTER = module('A2', 50, 22);
const BRIDGE = module('A3', 34, 21);
/** The controller board on a carrier with screw terminals. */
const SCREW_CARRIER = module('A1', 75, 52);

/** Above the board: blade fuses and C1 (12.5 x 25 mm) are the tallest there, sockets and headers here. */
const TALL_MM = { power: 30, signal: 20 } as const;

/**
 * Lamp of the usual controller board from its pin 1, mm: 3.75 from its long edge and 5 from the edge of the USB
 * socket (a published model of the board); pin 1 is 1.61 and 1.37 from these.
 */
const LAMP_FROM_PIN_1: Point = { x: 2.14, y: 3.63 };
/** Middle of its USB socket from pin 1, along the edge. */
const SOCKET_FROM_PIN_1 = 8.89;

function orderedBuild(): Build {
  const power = mounted(ordered(layoutOf(POWER), TALL_MM.power), { left: 25, bottom: 90 });
  const layout = layoutOf(CARRIER);
  const carrier = mounted(ordered(layout, TALL_MM.signal), { left: 160, bottom: 90 });
  const [pinX = 0, pinY = 0] = layout.parts.A1 ?? [];
  const top = carrier.bottom + carrier.height;
  return {
    name: 'ordered',
    title: 'Ordered boards',
    boards: [
      power,
      carrier,
      mounted(CONVERTER, { left: 40, bottom: 60 }),
      mounted(BRIDGE, { left: 165, bottom: 45 }),
    ],
    usb: {
      x: carrier.left + pinX + SOCKET_FROM_PIN_1 - USB_PLUG_MM.wide / 2,
      y: top,
      width: USB_PLUG_MM.wide,
      height: USB_PLUG_MM.long,
    },
    lamp: {
      x: carrier.left + pinX + LAMP_FROM_PIN_1.x,
      y: top - pinY - LAMP_FROM_PIN_1.y,
      on: carrier.name,
    },
  };
}

/** From the top of the enclosure to the strip boards at most: a taller one grows downwards. */
const STRIP_TOP_MM = 212;

function stripBuild(): Build {
  const bare = stripBoard('power-board', 'power board', TALL_MM.power);
  const power = mounted(bare, { left: 20, bottom: STRIP_TOP_MM - bare.height });
  const signal = mounted(
    stripBoard('signal-board', 'signal board', TALL_MM.signal),
    { left: 186, bottom: 20 },
    true,
  );
  const controller = mounted(SCREW_CARRIER, { left: 186, bottom: 163 });
  const right = controller.left + controller.width;
  const middle = controller.bottom + controller.height / 2;
  return {
    name: 'strip',
    title: 'Strip boards',
    boards: [
      power,
      signal,
      controller,
      mounted(CONVERTER, { left: 40, bottom: 6 }),
      mounted(BRIDGE, { left: 110, bottom: 6 }),
    ],
    usb: {
      x: right,
      y: middle - USB_PLUG_MM.wide / 2,
      width: USB_PLUG_MM.long,
      height: USB_PLUG_MM.wide,
    },
    // The USB socket to the right, its edge 2 mm from that of the terminals: pin 1 is above the middle.
    lamp: { x: right - 2 - 5, y: middle + 10.5 - 3.75, on: controller.name },
  };
}

export const BUILDS: readonly Build[] = [orderedBuild(), stripBuild()];

/** A board with its parts. */
export const bodyOfBoard = (board: Mounted): Room => ({
  what: board.name,
  from: [board.left, board.bottom, board.backMm],
  to: [
    board.left + board.width,
    board.bottom + board.height,
    board.backMm + BOARD_MM + board.tallMm,
  ],
});

/** Where wires turn beside a board, and where the USB plug is put in. */
export function freeRooms(build: Build): (Room & { readonly of: string })[] {
  const beside = build.boards.flatMap((board) => {
    const { from, to } = bodyOfBoard(board);
    const { bareMm } = board;
    return board.wires.map((edge) => {
      const [left, right] =
        edge === 'left'
          ? [from[0] - WIRE_ROOM_MM, from[0]]
          : edge === 'right'
            ? [to[0], to[0] + WIRE_ROOM_MM]
            : [from[0] + bareMm, to[0] - bareMm];
      const [bottom, top] =
        edge === 'bottom'
          ? [from[1] - WIRE_ROOM_MM, from[1]]
          : edge === 'top'
            ? [to[1], to[1] + WIRE_ROOM_MM]
            : [from[1] + bareMm, to[1] - bareMm];
      return {
        what: `the wires at the ${edge} of the ${board.name}`,
        of: board.name,
        from: [left, bottom, from[2]],
        to: [right, top, to[2]],
      } as const;
    });
  });
  const { x, y, width, height } = build.usb;
  const [, , air] = inner(SHAPE).from;
  return [
    ...beside,
    {
      what: 'the USB plug of the controller board',
      of: build.lamp.on,
      from: [x, y, air],
      to: [x + width, y + height, air + STANDOFF_MM + TALL_MM.signal],
    },
  ];
}
