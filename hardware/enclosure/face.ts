/** A face of the enclosure on paper: its outline, its holes to scale, and where each is measured from. */

import { arrow, circle, LINE, line, type Point, rect, text } from '../draw/svg';
import { fitOf } from './fits';
import type { Opening } from './openings';
import { AXES, FACES, type Face, faceSize, type Shape } from './shape';

export interface FaceView {
  readonly face: Face;
  /** Upper left corner of the face on paper. */
  readonly at: Point;
  /** Millimetres on paper for one of the enclosure. */
  readonly scale: number;
  /** Whether the edge that `across` counts from is drawn at the right. */
  readonly fromRight?: boolean;
}

const CENTRE_LINE = '3 0.8 0.6 0.8';

/** Size of a face on paper. */
function paperSize(shape: Shape, { face, scale }: FaceView): { width: number; height: number } {
  const [width, height] = faceSize(shape, face);
  return { width: width * scale, height: height * scale };
}

/** A place of the face on paper. */
export function onPaper(shape: Shape, view: FaceView, across: number, up: number): Point {
  const { width, height } = paperSize(shape, view);
  const along = across * view.scale;
  return {
    x: view.at.x + (view.fromRight === true ? width - along : along),
    y: view.at.y + height - up * view.scale,
  };
}

/** Outline, with the two edges that are measured from drawn thick. */
export function outline(shape: Shape, view: FaceView): string[] {
  const { width, height } = paperSize(shape, view);
  const zero = onPaper(shape, view, 0, 0);
  const far = onPaper(shape, view, width / view.scale, height / view.scale);
  return [
    rect(view.at.x, view.at.y, width, height, { width: LINE.normal, fill: 'white' }),
    line(zero, { x: far.x, y: zero.y }, { width: LINE.thick }),
    line(zero, { x: zero.x, y: far.y }, { width: LINE.thick }),
  ];
}

/** From here on the lid may reach over the wall. */
export function rim(shape: Shape, view: FaceView): string[] {
  const { across, up } = FACES[view.face];
  const [width, height] = faceSize(shape, view.face);
  const ends: readonly (readonly [number, number])[] =
    up === 2
      ? [
          [0, shape.bodyMm],
          [width, shape.bodyMm],
        ]
      : across === 2
        ? [
            [shape.bodyMm, 0],
            [shape.bodyMm, height],
          ]
        : [];
  const [from, to] = ends.map(([a, b]) => onPaper(shape, view, a, b));
  return from === undefined || to === undefined
    ? []
    : [line(from, to, { width: LINE.fine, dash: '1.5 1.5' })];
}

/** The hole, what covers it outside, its cross, and its letter. */
export function holeMark(shape: Shape, view: FaceView, opening: Opening): string[] {
  const { holeMm, outsideMm } = fitOf(opening.fit);
  const at = onPaper(shape, view, opening.across, opening.up);
  const outside = (outsideMm / 2) * view.scale;
  const reach = outside + 1.2;
  const diagonal = (outside + 1.6) * Math.SQRT1_2;
  return [
    circle(at, outside, { width: LINE.fine, dash: '1 0.7' }),
    circle(at, (holeMm / 2) * view.scale, { width: 0.6, fill: 'white' }),
    line({ x: at.x - reach, y: at.y }, { x: at.x + reach, y: at.y }, { width: LINE.fine }),
    line({ x: at.x, y: at.y - reach }, { x: at.x, y: at.y + reach }, { width: LINE.fine }),
    opening.mark === ''
      ? ''
      : text({ x: at.x - diagonal, y: at.y - diagonal }, opening.mark, {
          size: 3.6,
          bold: true,
          anchor: 'end',
          halo: true,
        }),
  ];
}

/** Line through a row of holes. */
export const centreLine = (from: Point, to: Point): string =>
  line(from, to, { width: LINE.fine, dash: CENTRE_LINE });

/** How far a row of holes is from the edge below it: an arrow from there, and the figure. */
export function rise(shape: Shape, view: FaceView, across: number, up: number): string[] {
  const from = onPaper(shape, view, across, 0);
  const to = onPaper(shape, view, across, up);
  return [
    arrow({ x: from.x, y: (from.y + to.y) / 2 }, to),
    arrow({ x: from.x, y: (from.y + to.y) / 2 }, from),
    text({ x: from.x, y: (from.y + to.y) / 2 + 1 }, String(up), {
      size: 2.8,
      anchor: 'middle',
      halo: true,
      bold: true,
    }),
  ];
}

/** `left`, as the edge that a face is measured from across. */
export const acrossEdge = (face: Face): string => AXES[FACES[face].across];
export const upEdge = (face: Face): string => AXES[FACES[face].up];

/** A line of 100 mm, by which a print is proved. */
export function checkLine(words: string): string[] {
  const [left, right, y] = [184, 284, 12.5];
  return [
    line({ x: left, y }, { x: right, y }, { width: LINE.normal }),
    ...[left, right].map((x) => line({ x, y: y - 1.8 }, { x, y: y + 1.8 }, { width: LINE.normal })),
    ...Array.from({ length: 9 }, (_, i) => left + 10 * (i + 1)).map((x) =>
      line({ x, y: y - 0.8 }, { x, y: y + 0.8 }, { width: LINE.thin }),
    ),
    text({ x: (left + right) / 2, y: y + 5 }, words, { size: 2.5, anchor: 'middle' }),
  ];
}
