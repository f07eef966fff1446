/** Where the two probes and the cut-out go: plan of the tray, and a section through the plug. */
import {
  arrow,
  callout,
  circle,
  dot,
  hatch,
  LINE,
  line,
  type Point,
  path,
  polyline,
  rect,
  sheet,
  text,
} from './svg';

const p = (x: number, y: number): Point => ({ x, y });

export const PLAN = { x: 78, y: 32, columns: 14, rows: 7, pitch: 9.2, plug: 7 } as const;
/** Column and row of the plug with the probe, counted from the corner at the feed tube. */
export const PROBED = { column: 8, row: 3 } as const;
/** Outer size of the drawn tray, and its middle. */
const PLAN_WIDTH = PLAN.columns * PLAN.pitch + 6;
const PLAN_HEIGHT = PLAN.rows * PLAN.pitch + 6;
const MIDDLE: Point = { x: PLAN.x + PLAN_WIDTH / 2, y: PLAN.y + PLAN_HEIGHT / 2 };
/** Middles of what lies under the tray, and the end of the feed tube above it. */
export const SPOTS = {
  feedEnd: { x: PLAN.x + 9, y: PLAN.y + 9 },
  matProbe: { x: MIDDLE.x - 12, y: MIDDLE.y + 9.5 },
  cutOut: { x: MIDDLE.x - 32, y: MIDDLE.y + 9.5 },
} as const satisfies Readonly<Record<string, Point>>;
/** Size of the mat probe under its tape, and of the cut-out, as drawn. */
const UNDER = { width: 8, height: 5 } as const;

/** Top left corner of a plug. */
export const plugAt = (column: number, row: number): Point =>
  p(PLAN.x + 4 + column * PLAN.pitch, PLAN.y + 4 + row * PLAN.pitch);

function plan(): string[] {
  const plugs = Array.from({ length: PLAN.columns * PLAN.rows }, (_, i) => {
    const column = i % PLAN.columns;
    const row = Math.floor(i / PLAN.columns);
    const edge = column === 0 || row === 0 || column === PLAN.columns - 1 || row === PLAN.rows - 1;
    const probed = column === PROBED.column && row === PROBED.row;
    const { x, y } = plugAt(column, row);
    return rect(x, y, PLAN.plug, PLAN.plug, {
      width: probed ? 0.8 : LINE.fine,
      fill: edge ? '#dddddd' : 'white',
    });
  });
  const probe = plugAt(PROBED.column, PROBED.row);
  const under = ({ x, y }: Point, dash: string): string =>
    rect(x - UNDER.width / 2, y - UNDER.height / 2, UNDER.width, UNDER.height, {
      dash,
      fill: 'none',
      width: 0.5,
    });
  return [
    text(p(PLAN.x, PLAN.y - 3), 'Tray from above (98 plugs; others alike)', {
      size: 3,
      bold: true,
    }),
    rect(PLAN.x - 1, PLAN.y - 1, PLAN_WIDTH + 2, PLAN_HEIGHT + 2, { width: 0.7, round: 3 }),
    ...plugs,
    dot(p(probe.x + 3.5, probe.y + 3.5), 1.6),
    polyline(
      [
        p(probe.x + 3.5, probe.y + 3.5),
        p(probe.x + 3.5, PLAN.y - 6),
        p(PLAN.x + PLAN_WIDTH + 22, PLAN.y - 6),
      ],
      { width: 0.6 },
    ),
    under(SPOTS.matProbe, '1.5 1'),
    under(SPOTS.cutOut, '0.8 0.8'),
    circle(SPOTS.feedEnd, 2.6, { width: 0.8 }),
    callout(
      p(72, 44),
      [
        'End of the feed tube: at least four',
        'plugs away from the probe, or',
        'each dose reads as cold.',
      ],
      p(SPOTS.feedEnd.x - 2.5, SPOTS.feedEnd.y),
      'left',
    ),
    callout(
      p(72, 66),
      ['Grey plugs at the rim dry and', 'cool first: no probe there.'],
      p(PLAN.x + 7.5, PLAN.y + 33),
      'left',
    ),
    callout(
      p(72, 84),
      [
        'Thermal link TC1 (dotted): under',
        'the mat, between mat and foam,',
        'one hand beside the mat probe.',
      ],
      SPOTS.cutOut,
      'left',
    ),
    callout(
      p(226, 48),
      [
        'Probe TH1: in a plug near',
        'the middle, not in the very',
        'middle, and not where',
        'the feed drops.',
      ],
      p(probe.x + 5, probe.y + 3.5),
    ),
    callout(
      p(226, 76),
      [
        'Mat probe TH2 (dashed): flat',
        'on the mat under the tray,',
        'near the middle, fixed with',
        'aluminium tape.',
      ],
      p(SPOTS.matProbe.x + 3, SPOTS.matProbe.y),
    ),
  ];
}

function section(): string[] {
  const left = 99;
  const top = 128;
  const plug = 40;
  return [
    text(p(78, 111), 'Section through the plug, about life size', { size: 3, bold: true }),
    rect(left, top, 36, plug, { fill: '#f2f2f2' }),
    rect(left - 40, top, 36, plug, { fill: 'white', width: LINE.thin }),
    rect(left + 40, top, 36, plug, { fill: 'white', width: LINE.thin }),
    // Seedling and its root zone.
    path(
      `M ${left + 18} ${top} C ${left + 17} ${top - 6} ${left + 19} ${top - 8} ${left + 18} ${top - 11}`,
      { width: 0.6 },
    ),
    path(`M ${left + 18} ${top - 11} q -7 -3 -8 1 q 5 3 8 -1 q 7 -3 8 1 q -5 3 -8 -1`, {
      width: LINE.thin,
      fill: 'white',
    }),
    path(
      `M ${left + 18} ${top} c -2 8 2 10 -1 18 m 1 -12 c 4 4 5 6 7 12 m -8 -8 c -4 3 -5 6 -8 10`,
      { width: LINE.thin },
    ),
    // Probe from the side, at half height.
    rect(left + 9, top + 18.2, 24, 3.6, { fill: '#888888', width: LINE.thin, round: 1.8 }),
    path(
      `M ${left + 33} ${top + 20} C ${left + 38} ${top + 20} ${left + 38} ${top + 20} ${left + 38} ${top + 12} L ${left + 38} ${top + 2} C ${left + 38} ${top - 8} ${left + 84} ${top - 2} ${left + 86} ${top - 4}`,
      { width: 0.8 },
    ),
    // Tray rim with clip; then loop and post.
    polyline(
      [
        p(left - 46, top + 6),
        p(left - 43, top + plug + 3),
        p(left + 79, top + plug + 3),
        p(left + 84, top - 2),
        p(left + 90, top - 2),
      ],
      { width: 0.8 },
    ),
    rect(left + 83, top - 5.4, 6, 3, { fill: 'black', width: 0.2 }),
    path(
      `M ${left + 88} ${top - 4} C ${left + 104} ${top - 4} ${left + 98} ${top + 38} ${left + 108} ${top + 38} C ${left + 120} ${top + 38} ${left + 112} ${top - 2} ${left + 124} ${top - 2}`,
      { width: 0.8 },
    ),
    rect(left + 124, top - 14, 3, 74, { fill: 'white' }),
    rect(left + 122, top - 3.6, 7, 3, { fill: 'black', width: 0.2 }),
    // Mat probe, mat, cut-out, foam, platform.
    rect(left - 4, top + plug + 4.2, 14, 2.2, { fill: '#888888', width: LINE.thin }),
    rect(left - 44, top + plug + 6.4, 122, 2.4, { fill: '#444444', width: 0.2 }),
    rect(left - 32, top + plug + 8.8, 12, 3, { fill: '#bbbbbb', width: LINE.thin }),
    rect(left - 44, top + plug + 8.8, 12, 7, { fill: 'white', width: LINE.fine }),
    rect(left - 20, top + plug + 8.8, 98, 7, { fill: 'white', width: LINE.fine }),
    hatch(left - 44, top + plug + 8.8, 12, 7, 3),
    hatch(left - 20, top + plug + 8.8, 98, 7, 3),
    rect(left - 46, top + plug + 15.8, 126, 2.4, { fill: '#eeeeee' }),
    // Half height.
    line(p(left - 2, top), p(left - 10, top), { width: LINE.fine }),
    line(p(left + 8, top + 20), p(left - 10, top + 20), { width: LINE.fine }),
    arrow(p(left - 8, top + 10), p(left - 8, top + 0.2)),
    arrow(p(left - 8, top + 10), p(left - 8, top + 19.8)),
    text(p(left - 9.5, top + 11), 'half', { size: 2.5, anchor: 'end', halo: true }),
    callout(
      p(46, 134),
      [
        'Tip at half the height of the',
        'plug, the sheath pushed in',
        'from the side over its whole',
        'length. The same depth in',
        'blocks and slabs: 30 mm',
        'below the top.',
      ],
      p(left + 11, top + 20),
      'left',
    ),
    callout(
      p(46, 172),
      ['Mat probe under its tape', '(aluminium, 50 mm square).'],
      p(left - 3, top + plug + 5.3),
      'left',
    ),
    callout(
      p(46, 184),
      ['Thermal link under tape,', 'in a groove of the foam.'],
      p(left - 30, top + plug + 10.4),
      'left',
    ),
    callout(
      p(233, 124),
      [
        'Clip on the rim, soft loop,',
        'clip on the post. The lowest',
        'point of the loop is a drip',
        'loop: water leaves there and',
        'never runs to the enclosure.',
      ],
      p(left + 128.4, top - 2),
    ),
    callout(
      p(233, 154),
      [
        'Check after planting: pull',
        'the lead gently. The reading',
        'of the scale must come back',
        'to within 1 g.',
      ],
      p(left + 125.5, top + 44),
    ),
    callout(
      p(233, 180),
      [
        'After moving plugs on, set',
        'the probe again before the',
        'mat: a probe in the air',
        'would heat for ever.',
      ],
      p(left + 60, top + 14),
    ),
  ];
}

/** The placement sheet. */
export function drawPlacement(): string {
  return sheet(
    'Where the probes go',
    'The root zone is measured where the roots are; the mat where it is hottest. The two never share a sensor.',
    [...plan(), ...section()],
  );
}
