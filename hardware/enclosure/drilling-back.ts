/** Where the boards stand on the back of the enclosure, seen from the front with the lid off: both builds. */

import { circle, dot, hatch, LINE, line, lines, type Point, rect, sheet, text } from '../draw/svg';
import { BUILDS, type Build, bodyOfBoard, freeRooms, type Mounted } from './builds';
import { checkLine, type FaceView, holeMark, onPaper, outline } from './face';
import { fitOf } from './fits';
import { bodyOf, openingsFor } from './openings';
import { ENCLOSURE, standoffsOf } from './plan';
import { posts, type Room, SHAPE } from './shape';

const SCALE = 0.4;
const TOP = 36;
const HEIGHT = SHAPE.sizeMm[1] * SCALE;

const viewOf = (index: number): FaceView => ({
  face: 'back',
  at: { x: index === 0 ? 21 : 164, y: TOP },
  scale: SCALE,
});

interface Seen {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A room as it is seen from the front. */
function seen(view: FaceView, { from, to }: Pick<Room, 'from' | 'to'>): Seen {
  const a = onPaper(SHAPE, view, from[0], to[1]);
  const b = onPaper(SHAPE, view, to[0], from[1]);
  return { x: a.x, y: a.y, width: b.x - a.x, height: b.y - a.y };
}

const box = ({ x, y, width, height }: Seen, stroke: Parameters<typeof rect>[4]): string =>
  rect(x, y, width, height, stroke);

const mmText = (value: number): string => String(Math.round(value * 10) / 10);

/** Boards on standoffs are white, modules on tape grey. */
const boardBox = (view: FaceView, mounted: Mounted): string =>
  box(
    seen(view, bodyOfBoard(mounted)),
    mounted.standoffs.length > 0 ? { width: 0.6, fill: 'white' } : { fill: '#eeeeee' },
  );

function boardName(view: FaceView, mounted: Mounted): string[] {
  const { x, y, width, height } = seen(view, bodyOfBoard(mounted));
  const middle = { x: x + width / 2, y: y + height / 2 };
  const style = { anchor: 'middle', halo: true } as const;
  return [
    text({ ...middle, y: middle.y + 0.9 }, mounted.name, { ...style, size: 2.7, bold: true }),
    ...(mounted.standoffs.length > 0
      ? [
          text(
            { ...middle, y: middle.y + 5 },
            `${mmText(mounted.width)} x ${mmText(mounted.height)} mm`,
            { ...style, size: 2.5 },
          ),
        ]
      : []),
  ];
}

/** Figures at the edges, a tick for each column and each row of standoffs. */
function figures(view: FaceView, build: Build): string[] {
  const holes = standoffsOf(build);
  const columns = [...new Set(holes.map(({ across }) => mmText(across)))];
  const rows = [...new Set(holes.map(({ up }) => mmText(up)))];
  const zero = onPaper(SHAPE, view, 0, 0);
  return [
    ...columns.flatMap((column) => {
      const { x } = onPaper(SHAPE, view, Number(column), 0);
      return [
        line({ x, y: zero.y }, { x, y: zero.y + 3 }, { width: LINE.fine }),
        text({ x, y: zero.y + 6 }, column, { size: 2.5, bold: true, anchor: 'middle' }),
      ];
    }),
    ...rows.flatMap((row) => {
      const { y } = onPaper(SHAPE, view, 0, Number(row));
      return [
        line({ x: zero.x, y }, { x: zero.x - 2, y }, { width: LINE.fine }),
        text({ x: zero.x - 2.6, y: y + 0.9 }, row, { size: 2.5, bold: true, anchor: 'end' }),
      ];
    }),
  ];
}

/** The lamp, and under which hole of the lid it is. */
function lamp(view: FaceView, build: Build): string[] {
  const at = onPaper(SHAPE, view, build.lamp.x, build.lamp.y);
  const hole = openingsFor(ENCLOSURE.openings, build.name).find(({ fit }) => fit === 'light-pipe');
  return [
    circle(at, 1.6, { width: LINE.normal, fill: 'white' }),
    dot(at, 0.6),
    text({ x: at.x - 2.4, y: at.y + 1 }, hole?.mark ?? '', {
      size: 3,
      bold: true,
      anchor: 'end',
      halo: true,
    }),
  ];
}

/** What stands in the bottom wall, before the boards. */
const plugs = (view: FaceView, build: Build): string[] =>
  openingsFor(ENCLOSURE.openings, build.name)
    .filter(({ face }) => face === 'bottom')
    .map((hole) => box(seen(view, bodyOf(SHAPE, hole)), { width: LINE.fine, dash: '1 0.7' }));

function drawing(build: Build, index: number): string[] {
  const view = viewOf(index);
  return [
    text({ x: view.at.x, y: TOP - 4 }, build.title, { size: 3.4, bold: true }),
    ...outline(SHAPE, view),
    ...posts(SHAPE).map((post) => box(seen(view, post), { width: LINE.fine, fill: '#dddddd' })),
    ...freeRooms(build).map((room) => {
      const { x, y, width, height } = seen(view, room);
      return hatch(x, y, width, height, 1.6);
    }),
    ...build.boards.map((mounted) => boardBox(view, mounted)),
    ...standoffsOf(build).flatMap((hole) => holeMark(SHAPE, view, hole)),
    ...plugs(view, build),
    ...build.boards.flatMap((mounted) => boardName(view, mounted)),
    ...lamp(view, build),
    ...figures(view, build),
  ];
}

/** `power board: 30 and 120 from the left, 115 and 189 from the bottom`. */
const places = ({ name, standoffs }: Mounted): string => {
  const list = (values: readonly number[]): string =>
    [...new Set(values.map(mmText))].join(' and ');
  const across = list(standoffs.map(({ x }) => x).sort((a, b) => a - b));
  const up = list(standoffs.map(({ y }) => y).sort((a, b) => a - b));
  return `${name}: ${across} from the left, ${up} from the bottom`;
};

const listOf = (build: Build): string[] => [
  `Middles of the standoffs, mm:`,
  ...build.boards.filter(({ standoffs }) => standoffs.length > 0).map(places),
];

const words = (at: Point, rows: readonly string[]): string[] => lines(at, rows, { size: 2.6 });

/** The sheet: 1 : 2.5. */
export function drawDrillingBack(): string {
  const { holeMm } = fitOf('standoff');
  const foot = TOP + HEIGHT + 15;
  return sheet(
    'Boards in the enclosure',
    'The back, seen from the front with the lid off. Scale 1 : 2.5.',
    [
      ...checkLine('Prove the print: 100 mm on paper, 250 mm of the box.'),
      ...BUILDS.flatMap(drawing),
      ...BUILDS.flatMap((build, index) =>
        words({ x: viewOf(index).at.x - 6, y: foot }, listOf(build)),
      ),
      ...words({ x: 15, y: foot + 18 }, [
        `Holes of ${holeMm} mm through the back, a screw from behind, a sealing washer under its head; or plastic standoffs glued in, and no hole.`,
        'Boards first, holes after: lay the board in its place and mark through it. The box hangs by its lugs, the heads of the screws clear of the wall.',
        'Strip boards have three strips more at either end than their pictures number; the standoffs stand in the middle one of these, in the sixth hole.',
        'Grey: by foam tape on the clean back; A1 of the strip boards in its screw terminals, its USB socket to the right, its lamp under M.',
        'Slanted: left free, for the bend of wires and for the plug in the USB socket of A1. Dashed: what reaches in from the bottom, above the boards.',
        'Corners: posts of the lid. L, M: the lamp, under its light pipe.',
      ]),
    ],
  );
}
