/** How the load cell carries the tray: section from the side, and plan of the platform. */
import { CELL_DATA } from '../budget/scale';
import {
  arrow,
  callout,
  circle,
  hatch,
  LINE,
  line,
  type Point,
  path,
  polygon,
  polyline,
  rect,
  sheet,
  text,
} from './svg';

/** The stop takes over at a quarter above the rated load, well before the safe overload. */
export const STOP_GAP_MM = CELL_DATA.deflectionMm * 1.25;

const p = (x: number, y: number): Point => ({ x, y });

/** Left edge of the section, and the heights of its layers from the bench up. */
const X = 78;
const Y = {
  bench: 186,
  dripFloor: 184,
  dripRim: 165,
  water: 169,
  baseUnder: 160,
  baseTop: 154,
  cellUnder: 148,
  cellTop: 137,
  plateUnder: 131,
  plateTop: 127,
  foamTop: 117,
  matTop: 114,
  trayTop: 88,
  lidTop: 58,
} as const;

function bench(): string[] {
  return [
    line(p(X - 14, Y.bench), p(X + 166, Y.bench), { width: LINE.thick }),
    hatch(X - 14, Y.bench, 180, 3),
    polyline(
      [p(X - 6, Y.dripRim), p(X - 4, Y.dripFloor), p(X + 138, Y.dripFloor), p(X + 140, Y.dripRim)],
      { width: 0.8 },
    ),
    line(p(X - 5.4, Y.water), p(X + 139.4, Y.water), { width: LINE.thin, dash: '3 1.5' }),
    text(p(X + 67, Y.water + 3.4), 'water stands here when the whole reservoir has run out', {
      size: 2.5,
      anchor: 'middle',
      halo: true,
    }),
  ];
}

function base(): string[] {
  const foot = (x: number): string =>
    rect(x, Y.baseUnder, 7, Y.dripFloor - Y.baseUnder, { fill: 'white' });
  return [
    foot(X + 12),
    foot(X + 115),
    rect(X + 8, Y.baseTop, 118, Y.baseUnder - Y.baseTop, { fill: 'white' }),
    hatch(X + 8, Y.baseTop, 118, Y.baseUnder - Y.baseTop),
  ];
}

function cell(): string[] {
  const bolt = (x: number, top: number, under: number): string =>
    line(p(x, top), p(x, under), { width: LINE.thin, dash: '2 0.8 0.6 0.8' });
  return [
    rect(X + 42, Y.cellUnder, 14, Y.baseTop - Y.cellUnder, { fill: 'white' }),
    rect(X + 78, Y.plateUnder, 14, Y.cellTop - Y.plateUnder, { fill: 'white' }),
    rect(X + 42, Y.cellTop, 50, Y.cellUnder - Y.cellTop, { fill: '#dddddd', width: 0.6 }),
    circle(p(X + 62, (Y.cellTop + Y.cellUnder) / 2), 3, { fill: 'white' }),
    circle(p(X + 72, (Y.cellTop + Y.cellUnder) / 2), 3, { fill: 'white' }),
    rect(X + 62, (Y.cellTop + Y.cellUnder) / 2 - 1.6, 10, 3.2, { fill: 'white', width: 0 }),
    text(p(X + 67, Y.cellTop - 1.2), 'LC1', { size: 3, bold: true, anchor: 'middle' }),
    arrow(p(X + 96, Y.cellTop + 1), p(X + 96, Y.cellUnder), { width: 0.6 }),
    bolt(X + 46, Y.cellTop - 2, Y.baseUnder + 1.5),
    bolt(X + 52, Y.cellTop - 2, Y.baseUnder + 1.5),
    bolt(X + 82, Y.plateTop - 1, Y.cellUnder + 2),
    bolt(X + 88, Y.plateTop - 1, Y.cellUnder + 2),
  ];
}

function stop(x: number): string {
  const top = Y.plateUnder + 1.2;
  return [
    rect(x - 1.4, top, 2.8, Y.baseUnder + 2 - top, { fill: 'white' }),
    rect(x - 3, Y.baseTop - 2.4, 6, 2.4, { fill: '#bbbbbb' }),
    rect(x - 2.2, top - 0.1, 4.4, 1.6, { fill: '#bbbbbb' }),
  ].join('');
}

function platform(): string[] {
  return [
    polygon(
      [
        p(X, Y.plateTop),
        p(X + 134, Y.plateTop),
        p(X + 134, Y.plateTop + 9),
        p(X + 132.4, Y.plateTop + 9),
        p(X + 132.4, Y.plateUnder),
        p(X + 1.6, Y.plateUnder),
        p(X + 1.6, Y.plateTop + 9),
        p(X, Y.plateTop + 9),
      ],
      { fill: '#eeeeee' },
    ),
    rect(X + 8, Y.foamTop, 118, Y.plateTop - Y.foamTop, { fill: 'white' }),
    hatch(X + 8, Y.foamTop, 118, Y.plateTop - Y.foamTop, 3.4),
    rect(X + 10, Y.matTop, 114, Y.foamTop - Y.matTop, { fill: '#555555', width: 0.2 }),
  ];
}

function tray(): string[] {
  const plugs = Array.from({ length: 9 }, (_, i) =>
    rect(X + 17 + i * 11.4, Y.trayTop + 5, 8.4, 15, { fill: '#f2f2f2', width: LINE.thin }),
  );
  return [
    polyline(
      [
        p(X + 8, Y.trayTop),
        p(X + 13, Y.trayTop),
        p(X + 15, Y.matTop - 0.6),
        p(X + 119, Y.matTop - 0.6),
        p(X + 121, Y.trayTop),
        p(X + 126, Y.trayTop),
      ],
      { width: 0.7 },
    ),
    ...plugs,
    path(
      `M ${X + 12} ${Y.trayTop - 0.6} L ${X + 16} ${Y.lidTop + 8} Q ${X + 18} ${Y.lidTop} ${X + 28} ${Y.lidTop} L ${X + 106} ${Y.lidTop} Q ${X + 116} ${Y.lidTop} ${X + 118} ${Y.lidTop + 8} L ${X + 122} ${Y.trayTop - 0.6}`,
      { width: LINE.thin },
    ),
  ];
}

/** Drops that run off the platform's edge into the drip tray. */
function drips(): string[] {
  const drop = (x: number, y: number): string =>
    path(`M ${x} ${y} q -1.2 2.2 0 2.8 q 1.2 -0.6 0 -2.8`, { width: 0.25, fill: 'white' });
  return [X + 0.8, X + 133.2].flatMap((x) => [139, 146, 153].map((y) => drop(x, y)));
}

/** Leads leave the platform at a clamp, hang in a loop, and are held again on the frame. */
function leads(): string[] {
  const post = X + 156;
  return [
    rect(post, 84, 3, Y.bench - 84, { fill: 'white' }),
    rect(X + 127, Y.foamTop - 2.5, 5, 3, { fill: 'black', width: 0.2 }),
    rect(post - 2, Y.foamTop - 5, 7, 3, { fill: 'black', width: 0.2 }),
    path(
      `M ${X + 124} ${Y.matTop + 1.5} L ${X + 129} ${Y.foamTop - 1} C ${X + 140} ${Y.foamTop - 2} ${X + 137} ${Y.foamTop + 18} ${X + 144} ${Y.foamTop + 18} C ${X + 151} ${Y.foamTop + 18} ${X + 148} ${Y.foamTop - 4} ${post} ${Y.foamTop - 3.5}`,
      { width: 0.7 },
    ),
    path(
      `M ${X + 42} ${Y.cellUnder - 4} C ${X + 36} ${Y.cellUnder - 2} ${X + 37} ${Y.baseTop - 1} ${X + 31} ${Y.baseTop - 1} L ${X + 22} ${Y.baseTop - 1} C ${X - 1} ${Y.baseTop - 1} ${X - 4} 182 ${X - 9} 182 C ${X - 15} 182 ${X - 12} 150 ${X - 12} 142`,
      { width: 0.6 },
    ),
    rect(X + 24, Y.baseTop - 2.4, 6, 2.4, { fill: 'black', width: 0.2 }),
    // Feed tube: held by the post, its end above the tray and touching nothing.
    path(`M ${post} 88 L ${X + 128} 74 Q ${X + 112} 68 ${X + 110} 80`, { width: 0.9 }),
    arrow(p(X + 110, 82), p(X + 110, 90)),
  ];
}

function callouts(): string[] {
  return [
    callout(
      p(70, 40),
      ['Lid and tray stand free: they touch', 'the mat and nothing else.'],
      p(X + 22, Y.lidTop + 2),
      'left',
    ),
    callout(
      p(66, 106),
      [
        'Mat on foam, 10 to 20 mm of',
        'closed-cell sheet: it keeps the',
        'warmth up and the cell cool.',
      ],
      p(X + 10, Y.foamTop + 4),
      'left',
    ),
    callout(
      p(66, 124),
      [
        'Platform, 4 mm aluminium or',
        '10 mm plywood, varnished. Its edge',
        'is bent down 10 mm: drops fall',
        'outside the base.',
      ],
      p(X + 2, Y.plateTop + 2),
      'left',
    ),
    callout(
      p(64, 146),
      ['Overload stop, M6 screw', 'with lock nut, one near', 'each corner.'],
      p(X + 28.5, Y.baseTop - 8),
      'left',
    ),
    callout(
      p(60, 162),
      [
        'Lead of the cell: clamped to',
        'the base, then a drip loop, its',
        'lowest point below the gland',
        'of the enclosure.',
      ],
      p(X - 9, 181.5),
      'left',
    ),
    callout(
      p(66, 192),
      ['Drip tray: holds the whole reservoir', 'below the underside of the base.'],
      p(X + 1, Y.dripFloor - 0.4),
      'left',
    ),
    callout(
      p(247, 60),
      [
        'Feed tube: held by the',
        'post, ends in the air',
        'above the wool. Keep the',
        'reservoir below the tray,',
        'or it siphons empty.',
      ],
      p(X + 140, 79),
      'right',
    ),
    callout(
      p(247, 92),
      [
        'Strain relief twice: on',
        'the platform and on the',
        'post. Between them a soft',
        'loop of 100 mm or more,',
        'for mat, mat probe and',
        'probe alike: a lead that',
        'pulls is weight.',
      ],
      p(X + 144, Y.foamTop + 17.5),
      'right',
    ),
    callout(
      p(247, 132),
      [
        'Free end of the cell, arrow',
        'down: carries the platform',
        'through a spacer. The other',
        'end sits on the base.',
      ],
      p(X + 91, Y.cellTop + 2),
      'right',
    ),
    callout(
      p(247, 158),
      ['Nothing else may bridge', 'base and platform.'],
      p(X + 110, 143),
      'right',
    ),
  ];
}

/** The gap of a stop, drawn large. */
function detail(): string[] {
  const x = 261;
  const y = 180;
  return [
    circle(p(x, y), 17.5, { width: LINE.thin, fill: 'white' }),
    rect(x - 12, y - 8, 24, 3.5, { fill: '#eeeeee' }),
    rect(x - 4.5, y - 1.5, 9, 4, { fill: '#bbbbbb' }),
    rect(x - 2.6, y + 2.5, 5.2, 9, { fill: 'white' }),
    line(p(x - 10, y - 4.5), p(x - 6.5, y - 4.5), { width: LINE.fine }),
    line(p(x - 10, y - 1.5), p(x - 4.5, y - 1.5), { width: LINE.fine }),
    arrow(p(x - 9, y + 2.5), p(x - 9, y - 1.4)),
    arrow(p(x - 9, y - 8.5), p(x - 9, y - 4.6)),
    text(p(x + 6, y + 0.8), `${STOP_GAP_MM} mm`, { size: 2.8, bold: true }),
    text(p(x, 202.5), 'gap of each stop, platform empty:', { size: 2.4, anchor: 'middle' }),
    text(p(x, 205.7), 'set it with a feeler gauge', { size: 2.4, anchor: 'middle' }),
  ];
}

/** The mounting sheet. Not to scale; what matters is measured in words and figures. */
export function drawMounting(): string {
  return sheet(
    'Mounting the load cell under the tray',
    'Section from the side, not to scale. The cell lies along the middle of the tray; platform no larger than the cell allows (build guide, table of cells).',
    [
      '<g transform="translate(0 -8)">',
      ...bench(),
      ...base(),
      ...cell(),
      stop(X + 27),
      stop(X + 111),
      ...platform(),
      ...tray(),
      ...drips(),
      ...leads(),
      ...callouts(),
      ...detail(),
      '</g>',
    ],
  );
}
