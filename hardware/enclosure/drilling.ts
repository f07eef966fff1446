/** The drilling plan: lid, right wall and bottom of the enclosure, unfolded, with the list of holes. */

import { LINE, line, lines, type Point, rect, sheet, text } from '../draw/svg';
import {
  acrossEdge,
  centreLine,
  checkLine,
  type FaceView,
  holeMark,
  onPaper,
  outline,
  rim,
  rise,
  upEdge,
} from './face';
import { fitOf } from './fits';
import { OPENINGS, type Opening } from './openings';
import { type Face, posts, type Room, SHAPE } from './shape';

const SCALE = 0.5;
const LEFT = 36;
const TOP = 27;
const [WIDTH, HEIGHT] = SHAPE.sizeMm.map((size) => size * SCALE);

const LID: FaceView = { face: 'lid', at: { x: LEFT, y: TOP }, scale: SCALE };
const RIGHT: FaceView = {
  face: 'right',
  at: { x: LEFT + (WIDTH ?? 0), y: TOP },
  scale: SCALE,
  fromRight: true,
};
const BOTTOM: FaceView = { face: 'bottom', at: { x: LEFT, y: TOP + (HEIGHT ?? 0) }, scale: SCALE };
const VIEWS = [LID, RIGHT, BOTTOM] as const;

const on = (face: Face): Opening[] => OPENINGS.filter((opening) => opening.face === face);

/** Words of a face, mm from its upper left corner on paper. */
const title = ({ at }: FaceView, words: readonly string[], x: number, y: number): string[] => {
  const [head = '', ...rest] = words;
  return [
    text({ x: at.x + x, y: at.y + y }, head, { size: 3.4, bold: true }),
    ...lines({ x: at.x + x, y: at.y + y + 4 }, rest, { size: 2.5 }),
  ];
};

const figure = (at: Point, words: string, anchor: 'start' | 'middle' | 'end' = 'middle'): string =>
  text(at, words, { size: 2.8, bold: true, anchor, halo: true });

const thread = (from: Point, to: Point): string => line(from, to, { width: LINE.fine });

/** From a hole straight to the edges it is measured from, with the figures there; holes of one height share one. */
function lidFigures(): string[] {
  const foot = LID.at.y + (HEIGHT ?? 0);
  const holes = on('lid');
  return [
    ...holes.flatMap((hole) => {
      const at = onPaper(SHAPE, LID, hole.across, hole.up);
      const reach = (fitOf(hole.fit).outsideMm / 2) * SCALE;
      return [
        thread({ x: at.x, y: at.y + reach }, { x: at.x, y: foot }),
        thread({ x: LID.at.x, y: at.y }, { x: at.x - reach, y: at.y }),
        figure({ x: at.x, y: foot - 3 }, String(hole.across)),
      ];
    }),
    ...[...new Set(holes.map(({ up }) => up))].map((up) => {
      const { x, y } = onPaper(SHAPE, LID, 0, up);
      return figure({ x: x - 1.5, y: y + 1 }, String(up), 'end');
    }),
  ];
}

function rightFigures(): string[] {
  const edge = onPaper(SHAPE, RIGHT, 0, 0);
  return on('right').flatMap((hole) => {
    const at = onPaper(SHAPE, RIGHT, hole.across, hole.up);
    const reach = (fitOf(hole.fit).outsideMm / 2) * SCALE;
    return [
      thread({ x: at.x, y: at.y + reach }, { x: at.x, y: edge.y }),
      thread({ x: at.x + reach, y: at.y }, { x: edge.x, y: at.y }),
      figure({ x: at.x, y: edge.y - 3 }, String(hole.across)),
      figure({ x: edge.x + 1.5, y: at.y + 1 }, String(hole.up), 'start'),
    ];
  });
}

/** Rows of words under the holes of the bottom, mm from its lower edge on paper. */
const ROWS = [
  { above: 13.5, head: 'from left', of: ({ across }: Opening) => String(across), bold: true },
  { above: 8.5, head: 'hole', of: ({ fit }: Opening) => `ø ${fitOf(fit).holeMm}`, bold: false },
  { above: 3.5, head: 'for', of: ({ part }: Opening) => part ?? 'vent', bold: false },
] as const;

function bottomFigures(): string[] {
  const foot = onPaper(SHAPE, BOTTOM, 0, 0).y;
  const holes = on('bottom');
  const row = holes[0]?.up ?? 0;
  return [
    centreLine(onPaper(SHAPE, BOTTOM, 0, row), onPaper(SHAPE, BOTTOM, SHAPE.sizeMm[0], row)),
    ...rise(SHAPE, BOTTOM, 10, row),
    ...ROWS.flatMap(({ above, head, of, bold }) => [
      text({ x: BOTTOM.at.x - 1.5, y: foot - above }, head, { size: 2.5, anchor: 'end' }),
      ...holes.map((hole) =>
        text({ x: onPaper(SHAPE, BOTTOM, hole.across, 0).x, y: foot - above }, of(hole), {
          size: 2.8,
          anchor: 'middle',
          bold,
        }),
      ),
    ]),
  ];
}

const TABLE: Point = { x: 192, y: 143 };
const TABLE_ROW = 3.7;
const CELLS: readonly (readonly [number, string, (hole: Opening) => string])[] = [
  [0, '', ({ mark }) => mark],
  [5, 'ø mm', ({ fit }) => String(fitOf(fit).holeMm)],
  [16, 'mm from', ({ face, across }) => `${across} ${acrossEdge(face)}`],
  [30, 'mm from', ({ face, up }) => `${up} ${upEdge(face)}`],
  [47, 'for', ({ part, words }) => (part === null ? words : `${part}, ${words}`)],
];

function table(): string[] {
  return [
    ...CELLS.map(([x, head]) =>
      text({ x: TABLE.x + x, y: TABLE.y }, head, { size: 2.4, bold: true }),
    ),
    line({ x: TABLE.x - 0.5, y: TABLE.y + 1 }, { x: 288, y: TABLE.y + 1 }, { width: LINE.fine }),
    ...OPENINGS.flatMap((hole, i) =>
      CELLS.map(([x, , words]) =>
        text({ x: TABLE.x + x, y: TABLE.y + 4.4 + i * TABLE_ROW }, words(hole), {
          size: 2.4,
          bold: x === 0,
        }),
      ),
    ),
    ...lines(
      { x: TABLE.x, y: TABLE.y + 6.5 + OPENINGS.length * TABLE_ROW },
      [
        'Sizes are those of the usual makes: measure yours first.',
        'Standoffs in the back: drilling-back.',
      ],
      { size: 2.4 },
    ),
  ];
}

const NOTES = [
  'Thick edges: measure from these.',
  'Dashed circles: flange, cap or ring, outside.',
  'Dashed lines: the lid reaches no further.',
  'Dotted corners: posts inside, lid screws.',
  '',
  'No hole in the top, none in the left wall.',
  'A to C: three sizes, so that no plug fits',
  'into another hole. A cap on what is free.',
  'H: its cap closes it, its lead goes to A1.',
  'K: the sounder sits inside, its mouth on',
  'the hole, a thin film glued between.',
  'L or M, by the build: a rod glued in, flush',
  'outside, its end 2 mm above the lamp.',
];

/** A post of the lid, where it stands behind a face. */
function hidden(view: FaceView, { from, to }: Room): string[] {
  if (view.face !== 'lid') return [];
  const a = onPaper(SHAPE, view, from[0], to[1]);
  const b = onPaper(SHAPE, view, to[0], from[1]);
  return [rect(a.x, a.y, b.x - a.x, b.y - a.y, { width: LINE.fine, dash: '0.5 0.8' })];
}

/** The sheet: 1 : 2, all faces seen from outside. */
export function drawDrilling(): string {
  const size = SHAPE.sizeMm.join(' x ');
  return sheet(
    'Drilling the enclosure',
    `Box of ${size} mm, unfolded about its lid, every face seen from outside. Scale 1 : 2.`,
    [
      ...checkLine('Prove the print: 100 mm on paper, 200 mm of the box.'),
      ...VIEWS.flatMap((view) => [...outline(SHAPE, view), ...rim(SHAPE, view)]),
      ...VIEWS.flatMap((view) => posts(SHAPE).flatMap((post) => hidden(view, post))),
      ...title(LID, ['Lid'], 9, 8),
      ...title(RIGHT, ['Right wall'], 18, 8),
      ...title(BOTTOM, ['Bottom'], 9, 9),
      ...lines({ x: LID.at.x + 40, y: LID.at.y + 50 }, NOTES, { size: 2.4 }),
      ...bottomFigures(),
      ...lidFigures(),
      ...rightFigures(),
      ...OPENINGS.flatMap((hole) =>
        VIEWS.filter(({ face }) => face === hole.face).flatMap((view) =>
          holeMark(SHAPE, view, hole),
        ),
      ),
      ...table(),
    ],
  );
}
