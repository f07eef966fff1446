/** Lines and words on a board's file, and where the board lies on its page. */
import type { Point } from '../draw/svg';
import { type Form, q } from './expression';
import { uuid } from './identity';
import type { Words } from './layout';

/** The board's upper left corner on the page. */
export const ORIGIN: Point = { x: 60, y: 50 };
export const shifted = ({ x, y }: Point): Point => ({ x: x + ORIGIN.x, y: y + ORIGIN.y });

/** The smallest legend that makers print readably is 0.8 mm high and 0.15 mm thick. */
export const LEGEND = { size: 1, thick: 0.15, line: 0.15 } as const;

export const textEffects = (size: number, ...more: readonly Form[]): Form => [
  'effects',
  ['font', ['size', size, size], ['thickness', Math.max(LEGEND.thick, size * 0.15)]],
  ...more,
];

/** Words on the upper legend. */
export function letters(
  { at, text, size = LEGEND.size, anchor, turn = 0 }: Words,
  key: readonly string[],
): Form {
  const { x, y } = shifted(at);
  return [
    'gr_text',
    q(text),
    ['at', x, y, turn],
    ['layer', q('F.SilkS')],
    uuid(...key),
    textEffects(size, ...(anchor === undefined ? [] : [['justify', anchor] as const])),
  ];
}

export function edgeLine(from: Point, to: Point, key: readonly string[]): Form {
  const [a, b] = [shifted(from), shifted(to)];
  return [
    'gr_line',
    ['start', a.x, a.y],
    ['end', b.x, b.y],
    ['stroke', ['width', 0.1], ['type', 'default']],
    ['layer', q('Edge.Cuts')],
    uuid(...key),
  ];
}
