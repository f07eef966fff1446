/** Where the two probes and the cut-out go: plan of the tray, and a section through the plug. */
import { drawPlugSection } from './placement-section';
import { callout, circle, dot, LINE, type Point, polyline, rect, sheet, text } from './svg';

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

/** The placement sheet. */
export function drawPlacement(): string {
  return sheet(
    'Where the probes go',
    'The root zone is measured where the roots are; the mat where it is hottest. The two never share a sensor.',
    [...plan(), ...drawPlugSection()],
  );
}
