/** Section through the plug that the probe is in: how it sits, and what lies below the tray. */
import { arrow, callout, hatch, LINE, line, type Point, path, polyline, rect, text } from './svg';

const p = (x: number, y: number): Point => ({ x, y });

/** Top left corner of the plug, its size, and how far it is to the next one: mm on the sheet. */
const PLUG = { left: 99, top: 128, width: 36, height: 40, pitch: 40 } as const;
const { left, top } = PLUG;
const HALF = PLUG.height / 2;
const BOTTOM = top + PLUG.height;
/** What lies below the tray, from the top down: upper edges. */
const LAYERS = {
  matProbe: BOTTOM + 4.2,
  mat: BOTTOM + 6.4,
  foam: BOTTOM + 8.8,
  platform: BOTTOM + 15.8,
} as const;
/** Both are as thick as a plate is drawn. */
const PLATE = 2.4;
const FOAM = LAYERS.platform - LAYERS.foam;
/** Mat and foam, side by side: the foam leaves a groove for the thermal link. */
const MAT = { left: left - 44, right: left + 78 } as const;
const LINK = { left: left - 32, right: left - 20, height: 3 } as const;
const MAT_PROBE = { left: left - 4, width: 14, height: 2.2 } as const;
/** The probe in its sheath, pushed in from the side. */
const SHEATH = { tip: left + 9, end: left + 33, thick: 3.6 } as const;
/** Clips that hold the lead on the tray's rim and on the post. */
const RIM_CLIP = p(left + 83, top - 5.4);
const POST = { left: left + 124, width: 3, top: top - 14, height: 74 } as const;
const POST_CLIP = p(left + 122, top - 3.6);
const CLIP = { fill: 'black', width: 0.2 } as const;

function plugs(): string[] {
  const plug = (x: number, stroke: { fill: string; width?: number }) =>
    rect(x, top, PLUG.width, PLUG.height, stroke);
  return [
    plug(left, { fill: '#f2f2f2' }),
    plug(left - PLUG.pitch, { fill: 'white', width: LINE.thin }),
    plug(left + PLUG.pitch, { fill: 'white', width: LINE.thin }),
  ];
}

/** Seedling and its root zone. */
function seedling(): string[] {
  const stem = left + PLUG.width / 2;
  return [
    path(`M ${stem} ${top} C ${stem - 1} ${top - 6} ${stem + 1} ${top - 8} ${stem} ${top - 11}`, {
      width: 0.6,
    }),
    path(`M ${stem} ${top - 11} q -7 -3 -8 1 q 5 3 8 -1 q 7 -3 8 1 q -5 3 -8 -1`, {
      width: LINE.thin,
      fill: 'white',
    }),
    path(`M ${stem} ${top} c -2 8 2 10 -1 18 m 1 -12 c 4 4 5 6 7 12 m -8 -8 c -4 3 -5 6 -8 10`, {
      width: LINE.thin,
    }),
  ];
}

/** From the side, at half height; its lead goes up over the rim. */
function probe(): string[] {
  const y = top + HALF;
  const up = left + 38;
  return [
    rect(SHEATH.tip, y - SHEATH.thick / 2, SHEATH.end - SHEATH.tip, SHEATH.thick, {
      fill: '#888888',
      width: LINE.thin,
      round: SHEATH.thick / 2,
    }),
    path(
      `M ${SHEATH.end} ${y} C ${up} ${y} ${up} ${y} ${up} ${top + 12} L ${up} ${top + 2} C ${up} ${top - 8} ${left + 84} ${top - 2} ${left + 86} ${top - 4}`,
      { width: 0.8 },
    ),
  ];
}

/** Tray rim with clip; then loop and post. */
function rimAndPost(): string[] {
  const low = top + 38;
  return [
    polyline(
      [
        p(left - 46, top + 6),
        p(left - 43, BOTTOM + 3),
        p(left + 79, BOTTOM + 3),
        p(left + 84, top - 2),
        p(left + 90, top - 2),
      ],
      { width: 0.8 },
    ),
    rect(RIM_CLIP.x, RIM_CLIP.y, 6, 3, CLIP),
    path(
      `M ${left + 88} ${top - 4} C ${left + 104} ${top - 4} ${left + 98} ${low} ${left + 108} ${low} C ${left + 120} ${low} ${left + 112} ${top - 2} ${POST.left} ${top - 2}`,
      { width: 0.8 },
    ),
    rect(POST.left, POST.top, POST.width, POST.height, { fill: 'white' }),
    rect(POST_CLIP.x, POST_CLIP.y, 7, 3, CLIP),
  ];
}

/** Mat probe, mat, thermal link, foam, platform. */
function belowTheTray(): string[] {
  const foams = [
    { from: MAT.left, wide: LINK.left - MAT.left },
    { from: LINK.right, wide: MAT.right - LINK.right },
  ];
  return [
    rect(MAT_PROBE.left, LAYERS.matProbe, MAT_PROBE.width, MAT_PROBE.height, {
      fill: '#888888',
      width: LINE.thin,
    }),
    rect(MAT.left, LAYERS.mat, MAT.right - MAT.left, PLATE, { fill: '#444444', width: 0.2 }),
    rect(LINK.left, LAYERS.foam, LINK.right - LINK.left, LINK.height, {
      fill: '#bbbbbb',
      width: LINE.thin,
    }),
    ...foams.map(({ from, wide }) =>
      rect(from, LAYERS.foam, wide, FOAM, { fill: 'white', width: LINE.fine }),
    ),
    ...foams.map(({ from, wide }) => hatch(from, LAYERS.foam, wide, FOAM, 3)),
    rect(MAT.left - 2, LAYERS.platform, MAT.right - MAT.left + 4, PLATE, { fill: '#eeeeee' }),
  ];
}

function halfHeight(): string[] {
  const arrowX = left - 8;
  const quarter = top + HALF / 2;
  return [
    line(p(left - 2, top), p(left - 10, top), { width: LINE.fine }),
    line(p(arrowX + 16, top + HALF), p(left - 10, top + HALF), { width: LINE.fine }),
    arrow(p(arrowX, quarter), p(arrowX, top + 0.2)),
    arrow(p(arrowX, quarter), p(arrowX, top + HALF - 0.2)),
    text(p(left - 9.5, quarter + 1), 'half', { size: 2.5, anchor: 'end', halo: true }),
  ];
}

function words(): string[] {
  return [
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
      p(left + 11, top + HALF),
      'left',
    ),
    callout(
      p(46, 172),
      ['Mat probe under its tape', '(aluminium, 50 mm square).'],
      p(left - 3, BOTTOM + 5.3),
      'left',
    ),
    callout(
      p(46, 184),
      ['Thermal link under tape,', 'in a groove of the foam.'],
      p(left - 30, BOTTOM + 10.4),
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

export function drawPlugSection(): string[] {
  return [
    text(p(78, 111), 'Section through the plug, about life size', { size: 3, bold: true }),
    ...plugs(),
    ...seedling(),
    ...probe(),
    ...rimAndPost(),
    ...belowTheTray(),
    ...halfHeight(),
    ...words(),
  ];
}
