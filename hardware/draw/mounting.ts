/** How the load cell carries the tray: section from the side. */
import { type Box, p, SECTION } from './mounting-section';
import { callouts, detail } from './mounting-words';
import {
  arrow,
  circle,
  hatch,
  LINE,
  line,
  path,
  polygon,
  polyline,
  rect,
  type Stroke,
  sheet,
  text,
} from './svg';

const filled = ({ left, top, right, bottom }: Box, stroke: Stroke = { fill: 'white' }): string =>
  rect(left, top, right - left, bottom - top, stroke);

const hatched = ({ left, top, right, bottom }: Box, step?: number): string =>
  hatch(left, top, right - left, bottom - top, step);

const CLAMP: Stroke = { fill: 'black', width: 0.2 };

function bench(): string[] {
  const { bench, dripTray, waterY } = SECTION;
  const { left, right, top, bottom } = dripTray;
  const wall = 2;
  return [
    line(p(bench.left, bench.top), p(bench.right, bench.top), { width: LINE.thick }),
    hatched(bench),
    polyline([p(left, top), p(left + wall, bottom), p(right - wall, bottom), p(right, top)], {
      width: 0.8,
    }),
    line(p(left + 0.6, waterY), p(right - 0.6, waterY), { width: LINE.thin, dash: '3 1.5' }),
    text(
      p((left + right) / 2, waterY + 3.4),
      'water stands here when the whole reservoir has run out',
      { size: 2.5, anchor: 'middle', halo: true },
    ),
  ];
}

function base(): string[] {
  return [...SECTION.feet.map((foot) => filled(foot)), filled(SECTION.base), hatched(SECTION.base)];
}

/** The cell with the double hole that bends, and the arrow that must point down. */
function cell(): string[] {
  const { cell, fixedSpacer, freeSpacer, fixedBolts, freeBolts } = SECTION;
  const middle = p((cell.left + cell.right) / 2, (cell.top + cell.bottom) / 2);
  const hole = { apart: 5, radius: 3, slot: 1.6 };
  return [
    filled(fixedSpacer),
    filled(freeSpacer),
    filled(cell, { fill: '#dddddd', width: 0.6 }),
    circle(p(middle.x - hole.apart, middle.y), hole.radius, { fill: 'white' }),
    circle(p(middle.x + hole.apart, middle.y), hole.radius, { fill: 'white' }),
    rect(middle.x - hole.apart, middle.y - hole.slot, 2 * hole.apart, 2 * hole.slot, {
      fill: 'white',
      width: 0,
    }),
    text(p(middle.x, cell.top - 1.2), 'LC1', { size: 3, bold: true, anchor: 'middle' }),
    arrow(p(cell.right + 4, cell.top + 1), p(cell.right + 4, cell.bottom), { width: 0.6 }),
    ...[...fixedBolts, ...freeBolts].map(({ left, top, bottom }) =>
      line(p(left, top), p(left, bottom), { width: LINE.thin, dash: '2 0.8 0.6 0.8' }),
    ),
  ];
}

function stops(): string[] {
  return SECTION.stops.map(({ screw, lockNut, head }) =>
    [filled(screw), filled(lockNut, { fill: '#bbbbbb' }), filled(head, { fill: '#bbbbbb' })].join(
      '',
    ),
  );
}

function platform(): string[] {
  const { platform, lips, foam, mat } = SECTION;
  const { left, right, top, bottom } = platform;
  const [lip] = lips;
  const sheetMm = lip.right - lip.left;
  return [
    polygon(
      [
        p(left, top),
        p(right, top),
        p(right, lip.bottom),
        p(right - sheetMm, lip.bottom),
        p(right - sheetMm, bottom),
        p(left + sheetMm, bottom),
        p(left + sheetMm, lip.bottom),
        p(left, lip.bottom),
      ],
      { fill: '#eeeeee' },
    ),
    filled(foam),
    hatched(foam, 3.4),
    filled(mat, { fill: '#555555', width: 0.2 }),
  ];
}

const PLUGS = { count: 9, first: 9, pitch: 11.4, width: 8.4, height: 15, belowRim: 5 } as const;

function tray(): string[] {
  const { tray, lid } = SECTION;
  const rim = 5;
  const slope = 2;
  const plugs = Array.from({ length: PLUGS.count }, (_, i) =>
    rect(
      tray.left + PLUGS.first + i * PLUGS.pitch,
      tray.top + PLUGS.belowRim,
      PLUGS.width,
      PLUGS.height,
      { fill: '#f2f2f2', width: LINE.thin },
    ),
  );
  return [
    polyline(
      [
        p(tray.left, tray.top),
        p(tray.left + rim, tray.top),
        p(tray.left + rim + slope, tray.bottom),
        p(tray.right - rim - slope, tray.bottom),
        p(tray.right - rim, tray.top),
        p(tray.right, tray.top),
      ],
      { width: 0.7 },
    ),
    ...plugs,
    lidPath(lid),
  ];
}

/** Walls that lean in, and a roof with round shoulders. */
function lidPath({ left, right, top, bottom }: Box): string {
  const lean = 4;
  const shoulder = { down: 8, corner: 6, roof: 16 };
  return path(
    [
      `M ${left} ${bottom} L ${left + lean} ${top + shoulder.down}`,
      `Q ${left + shoulder.corner} ${top} ${left + shoulder.roof} ${top}`,
      `L ${right - shoulder.roof} ${top}`,
      `Q ${right - shoulder.corner} ${top} ${right - lean} ${top + shoulder.down}`,
      `L ${right} ${bottom}`,
    ].join(' '),
    { width: LINE.thin },
  );
}

/** Drops that run off the platform's edge into the drip tray. */
function drips(): string[] {
  const { platform, lips } = SECTION;
  const { left, right } = platform;
  const fall = { drops: 3, below: 3, apart: 7 };
  const heights = Array.from(
    { length: fall.drops },
    (_, i) => lips[0].bottom + fall.below + i * fall.apart,
  );
  const drop = (x: number, y: number): string =>
    path(`M ${x} ${y} q -1.2 2.2 0 2.8 q 1.2 -0.6 0 -2.8`, { width: 0.25, fill: 'white' });
  return [left + 0.8, right - 0.8].flatMap((x) => heights.map((y) => drop(x, y)));
}

/** Mat and probes: clamped on the platform, hanging in a loop, held again on the post. */
function leadLoop(): string {
  const { mat, platformClamp: from, post, postClamp, leadLoop: low } = SECTION;
  const slack = 7;
  return path(
    [
      `M ${mat.right} ${mat.top + 1.5} L ${from.left + 2} ${from.top + 1.5}`,
      `C ${low.x - 4} ${from.top + 0.5} ${low.x - slack} ${low.y} ${low.x} ${low.y}`,
      `C ${low.x + slack} ${low.y} ${low.x + 4} ${postClamp.top + 1} ${post.left} ${postClamp.top + 1.5}`,
    ].join(' '),
    { width: 0.7 },
  );
}

/** The cell's own lead: clamped on the base, low over the drip tray's rim, up to the enclosure. */
function cellLead(): string {
  const { cell, base, baseClamp, dripLoop: low, cellLeadEnd: end } = SECTION;
  const lies = base.top - 1;
  return path(
    [
      `M ${cell.left} ${cell.bottom - 4}`,
      `C ${cell.left - 6} ${cell.bottom - 2} ${cell.left - 5} ${lies} ${baseClamp.right + 1} ${lies}`,
      `L ${baseClamp.left - 2} ${lies}`,
      `C ${low.x + 8} ${lies} ${low.x + 5} ${low.y} ${low.x} ${low.y}`,
      `C ${low.x - 6} ${low.y} ${end.x} ${end.y + 8} ${end.x} ${end.y}`,
    ].join(' '),
    { width: 0.6 },
  );
}

function leads(): string[] {
  const { post, platformClamp, postClamp, baseClamp, feedEnd } = SECTION;
  return [
    filled(post),
    filled(platformClamp, CLAMP),
    filled(postClamp, CLAMP),
    leadLoop(),
    cellLead(),
    filled(baseClamp, CLAMP),
    // Feed tube: held by the post, its end above the tray and touching nothing.
    path(
      `M ${post.left} ${post.top + 4} L ${feedEnd.x + 18} ${feedEnd.y - 6} Q ${feedEnd.x + 2} ${feedEnd.y - 12} ${feedEnd.x} ${feedEnd.y}`,
      { width: 0.9 },
    ),
    arrow(p(feedEnd.x, feedEnd.y + 2), p(feedEnd.x, feedEnd.y + 10)),
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
      ...stops(),
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
