/** The bottom of the enclosure in its true size: printed, cut out, taped on, and punched through. */

import { LINE, line, lines, type Point, polyline, sheet, text } from '../draw/svg';
import { centreLine, checkLine, type FaceView, holeMark, onPaper, rise } from './face';
import { fitOf } from './fits';
import { OPENINGS, type Opening } from './openings';
import { SHAPE } from './shape';

const VIEW: FaceView = { face: 'bottom', at: { x: 9, y: 26 }, scale: 1 };
/** The paper is shorter than the box: what is beyond has no hole. */
const SHOWN_MM = 278;

const HOLES = OPENINGS.filter(({ face }) => face === 'bottom');

const at = (across: number, up: number): Point => onPaper(SHAPE, VIEW, across, up);

/** Edges to cut along, and the broken one at the right. */
function edges(): string[] {
  const depth = SHAPE.sizeMm[2];
  const [from, to] = [at(SHOWN_MM, 0), at(SHOWN_MM, depth)];
  const step = (from.y - to.y) / 8;
  const broken = Array.from(
    { length: 9 },
    (_, i): Point => ({
      x: from.x + (i === 0 || i === 8 ? 0 : i % 2 === 0 ? -1.5 : 1.5),
      y: from.y - i * step,
    }),
  );
  return [
    line(at(0, 0), from, { width: LINE.thick }),
    line(at(0, 0), at(0, depth), { width: LINE.thick }),
    line(at(0, depth), to, { width: LINE.normal }),
    polyline(broken, { width: LINE.fine }),
    text({ x: from.x - 3, y: to.y + 6 }, `the box goes on to ${SHAPE.sizeMm[0]} mm`, {
      size: 2.4,
      anchor: 'end',
    }),
    text({ x: at(0, 0).x + 4, y: to.y + 6 }, 'towards the lid', { size: 2.8, bold: true }),
    text({ x: at(0, 0).x + 4, y: at(0, SHAPE.bodyMm).y - 1.5 }, 'the lid may reach down to here', {
      size: 2.4,
    }),
    text({ x: from.x - 3, y: from.y - 14 }, 'back, to the wall', {
      size: 2.8,
      bold: true,
      anchor: 'end',
    }),
  ];
}

/** Words at most this long stand under each other. */
const LETTERS = 16;

function wrapped(words: string): string[] {
  const rows: string[] = [];
  for (const word of words.split(' ')) {
    const row = rows.pop();
    if (row === undefined) rows.push(word);
    else if (row.length + word.length < LETTERS) rows.push(`${row} ${word}`);
    else rows.push(row, word);
  }
  return rows;
}

function labels(hole: Opening): string[] {
  const { holeMm } = fitOf(hole.fit);
  const foot = at(hole.across, 0);
  const top = at(hole.across, 46);
  return [
    ...lines(
      top,
      [`ø ${holeMm}`, ...wrapped(hole.part === null ? hole.words : `${hole.part} ${hole.words}`)],
      { size: 2.6, anchor: 'middle' },
    ),
    line(at(hole.across, 19), at(hole.across, 9), { width: LINE.fine }),
    text({ x: foot.x, y: foot.y - 4 }, String(hole.across), {
      size: 3.2,
      bold: true,
      anchor: 'middle',
    }),
  ];
}

const STEPS: readonly (readonly string[])[] = [
  [
    'Print at 100 %: the line above is 100 mm, or nothing here is true. Lay the parts that you bought on the circles: the hole is a little wider than',
    'the thread (M12: 12.5 mm), and between two rings there is room for a finger.',
  ],
  [
    'Cut along the two thick lines. Tape the sheet to the outside of the bottom, its thick lines on the left and the back edge, the other long one at the lid.',
    'Punch each cross with an awl.',
  ],
  [
    'Goggles on, the box in a clamp, wood behind the wall. 3 mm through every cross first; then a step drill, slowly, a step at a time, up to the',
    'circle: plastic that warms melts, and a drill that grips tears it.',
  ],
  [
    'Take the burr off on both sides, with a countersink or a knife, until a finger feels no edge: a sealing ring needs a clean flat.',
  ],
  [
    'Lid, right wall and back by the figures of the other two sheets. Brush out every chip before a board goes in.',
  ],
];
const STEPS_AT = { y: 154, row: 3.7, gap: 1.6, indent: 5 } as const;

/** What to do, numbered. */
function steps(): string[] {
  let y: number = STEPS_AT.y;
  return STEPS.flatMap((rows, i) => {
    const drawn = [
      text({ x: 11, y }, String(i + 1), { size: 2.7, bold: true }),
      ...rows.map((row, j) =>
        text({ x: 11 + STEPS_AT.indent, y: y + j * STEPS_AT.row }, row, { size: 2.7 }),
      ),
    ];
    y += rows.length * STEPS_AT.row + STEPS_AT.gap;
    return drawn;
  });
}

/** The sheet: 1 : 1, seen from outside, from below. */
export function drawDrillingBottom(): string {
  const row = HOLES[0]?.up ?? 0;
  return sheet(
    'Drilling template: bottom of the enclosure',
    'Scale 1 : 1, seen from outside. Figures at the lower edge: mm from the left.',
    [
      ...checkLine('Prove the print: 100 mm.'),
      ...edges(),
      line(at(0, SHAPE.bodyMm), at(SHOWN_MM, SHAPE.bodyMm), { width: LINE.fine, dash: '1.5 1.5' }),
      centreLine(at(0, row), at(SHOWN_MM, row)),
      ...rise(SHAPE, VIEW, 10, row),
      ...HOLES.flatMap((hole) => [...holeMark(SHAPE, VIEW, hole), ...labels(hole)]),
      ...steps(),
    ],
  );
}
