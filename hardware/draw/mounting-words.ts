/** What the mounting sheet says in its margins, and the gap of a stop drawn large. */
import { CELL_DATA } from '../budget/scale';
import { p, SECTION } from './mounting-section';
import { arrow, callout, circle, LINE, line, type Point, rect, text } from './svg';

/** The stop takes over at a quarter above the rated load, well before the safe overload. */
export const STOP_GAP_MM = CELL_DATA.deflectionMm * 1.25;

const { lid, foam, platform, base, dripTray, cell, dripLoop, postClamp, freeSpacer } = SECTION;

interface Note {
  readonly at: Point;
  readonly to: Point;
  readonly words: readonly string[];
}

const LEFT_NOTES: readonly Note[] = [
  {
    at: p(70, 40),
    to: p(lid.left + 10, lid.top + 2),
    words: ['Lid and tray stand free: they touch', 'the mat and nothing else.'],
  },
  {
    at: p(66, 106),
    to: p(foam.left + 2, foam.top + 4),
    words: [
      'Mat on foam, 10 to 20 mm of',
      'closed-cell sheet: it keeps the',
      'warmth up and the cell cool.',
    ],
  },
  {
    at: p(66, 124),
    to: p(platform.left + 2, platform.top + 2),
    words: [
      'Platform, 4 mm aluminium or',
      '10 mm plywood, varnished. Its edge',
      'is bent down 10 mm: drops fall',
      'outside the base.',
    ],
  },
  {
    at: p(64, 146),
    to: p(platform.left + 28.5, base.top - 8),
    words: ['Overload stop, M6 screw', 'with lock nut, one near', 'each corner.'],
  },
  {
    at: p(60, 162),
    to: p(dripLoop.x, dripLoop.y - 0.5),
    words: [
      'Lead of the cell: clamped to',
      'the base, then a drip loop, its',
      'lowest point below the gland',
      'of the enclosure.',
    ],
  },
  {
    at: p(66, 192),
    to: p(platform.left + 1, dripTray.bottom - 0.4),
    words: ['Drip tray: holds the whole reservoir', 'below the underside of the base.'],
  },
];

const RIGHT_NOTES: readonly Note[] = [
  {
    at: p(247, 60),
    to: p(platform.left + 140, 79),
    words: [
      'Feed tube: held by the',
      'post, ends in the air',
      'above the wool. Keep the',
      'reservoir below the tray,',
      'or it siphons empty.',
    ],
  },
  {
    at: p(247, 92),
    to: p(postClamp.right - 0.8, (postClamp.top + postClamp.bottom) / 2),
    words: [
      'Strain relief twice: on',
      'the platform and on the',
      'post. Between them a soft',
      'loop of 100 mm or more,',
      'for mat, mat probe and',
      'probe alike: a lead that',
      'pulls is weight.',
    ],
  },
  {
    at: p(247, 132),
    to: p(freeSpacer.right - 1, cell.top + 2),
    words: [
      'Free end of the cell, arrow',
      'down: carries the platform',
      'through a spacer. The other',
      'end sits on the base.',
    ],
  },
  {
    at: p(247, 158),
    to: p(platform.left + 110, 143),
    words: ['Nothing else may bridge', 'base and platform.'],
  },
];

export function callouts(): string[] {
  return [
    ...LEFT_NOTES.map(({ at, words, to }) => callout(at, words, to, 'left')),
    ...RIGHT_NOTES.map(({ at, words, to }) => callout(at, words, to, 'right')),
  ];
}

/** Middle of the detail, its radius, and half the gap that it shows. */
const DETAIL = { x: 261, y: 180, radius: 17.5, plateUnder: -4.5, headTop: -1.5 } as const;

/** The gap of a stop, drawn large. */
export function detail(): string[] {
  const { x, y, radius, plateUnder, headTop } = DETAIL;
  const measure = (at: number, to: number): string =>
    line(p(x - 10, y + at), p(x + to, y + at), { width: LINE.fine });
  return [
    circle(p(x, y), radius, { width: LINE.thin, fill: 'white' }),
    rect(x - 12, y + plateUnder - 3.5, 24, 3.5, { fill: '#eeeeee' }),
    rect(x - 4.5, y + headTop, 9, 4, { fill: '#bbbbbb' }),
    rect(x - 2.6, y + headTop + 4, 5.2, 9, { fill: 'white' }),
    measure(plateUnder, -6.5),
    measure(headTop, -4.5),
    arrow(p(x - 9, y + headTop + 4), p(x - 9, y + headTop + 0.1)),
    arrow(p(x - 9, y + plateUnder - 4), p(x - 9, y + plateUnder - 0.1)),
    text(p(x + 6, y + 0.8), `${STOP_GAP_MM} mm`, { size: 2.4, bold: true }),
    text(p(x, 202.5), 'gap of each stop, platform empty:', { size: 2.4, anchor: 'middle' }),
    text(p(x, 205.7), 'set it with a feeler gauge', { size: 2.4, anchor: 'middle' }),
  ];
}
