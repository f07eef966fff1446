/** Pictures of the strip boards, for soldering from. */
import { findPart, splitPin } from '../circuit/circuit';
import { type Circuit, COLOURS, type Part } from '../circuit/kinds';
import {
  type BoardPlan,
  boardSize,
  type Hole,
  holeNumber,
  holesOf,
  poleStrips,
  runsOf,
  stripNumber,
  stripsOf,
} from '../circuit/strips';
import { circle, dot, LINE, line, type Point, rect, sheet, text } from './svg';

const TOP = 30;
const LEFT = 92;
/** From the first screw of a terminal at the left to that at the right. */
const WIDTH = 140.3;

interface Grid {
  readonly step: number;
  readonly rowStep: number;
  at(column: number, strip: number): Point;
}

function gridOf(plan: BoardPlan): Grid {
  const step = WIDTH / (plan.columns + 1);
  const rowStep = 150 / (plan.strips.length - 1);
  return {
    step,
    rowStep,
    at: (column, strip) => ({ x: LEFT + column * step, y: TOP + (strip - 1) * rowStep }),
  };
}

/** A cross: cut here. */
const cutMark = ({ x, y }: Point): string =>
  [-1, 1]
    .map((way) => line({ x: x - 1, y: y - way }, { x: x + 1, y: y + way }, { width: 0.5 }))
    .join('');

function strips(plan: BoardPlan, grid: Grid): string[] {
  return runsOf(plan).flatMap((run) => {
    const from = grid.at(run.from, run.strip);
    const to = grid.at(run.to, run.strip);
    const isCut = run.to <= plan.columns;
    return [
      rect(from.x - 2, from.y - 1.3, to.x - from.x + 4, 2.6, {
        width: LINE.fine,
        fill: '#e6e6e6',
        colour: '#888888',
        round: 0.5,
      }),
      text({ x: to.x + 1, y: from.y + 0.75 }, run.net, { size: 2, anchor: 'end', mono: true }),
      ...(run.from === 0
        ? [
            text({ x: from.x - 1.4, y: from.y + 0.65 }, String(stripNumber(run.strip)), {
              size: 1.7,
            }),
          ]
        : []),
      // The hole at which the copper is taken away.
      ...(isCut ? [cutMark(grid.at(run.to + 1, run.strip))] : []),
    ];
  });
}

/** Numbers of the holes over and under the columns. */
function ruler(plan: BoardPlan, grid: Grid): string[] {
  return Array.from({ length: plan.columns }, (_, index) => index + 1).flatMap((column) =>
    [
      { strip: 1, dy: -2 },
      { strip: plan.strips.length, dy: 3.4 },
    ].map(({ strip, dy }) => {
      const { x, y } = grid.at(column, strip);
      return text({ x, y: y + dy }, String(holeNumber(column)), { size: 1.7, anchor: 'middle' });
    }),
  );
}

/** Name of a leg, where mixing it up matters. */
const LEGS: readonly string[] = ['G', 'D', 'S', 'B', 'C', 'E', '+', 'TX', 'RX', 'GND'];

function body(part: Part, holes: readonly Hole[], grid: Grid): string[] {
  const ys = holes.map((hole) => hole.strip);
  const column = holes[0]?.column ?? 0;
  const top = grid.at(column, Math.min(...ys));
  const bottom = grid.at(column, Math.max(...ys));
  const middle = { x: top.x, y: (top.y + bottom.y) / 2 };
  const half = Math.min(5.5, (bottom.y - top.y) / 2 - 1.6);
  if (part.ratings.kind === 'test-point') {
    return [
      circle(top, 1.7, { fill: 'white', width: LINE.thin }),
      dot(top, 0.8),
      text({ x: top.x, y: top.y + 4 }, part.ref, {
        size: 2.2,
        anchor: 'middle',
        bold: true,
        halo: true,
      }),
    ];
  }
  const svg = [line(top, bottom, { width: 0.6 })];
  const width =
    { fuse: 4.4, mosfet: 5, bipolar: 4.4, capacitor: 4.2 }[part.ratings.kind as string] ?? 3;
  svg.push(
    rect(middle.x - width / 2, middle.y - half, width, 2 * half, {
      fill: 'white',
      round: part.ratings.kind === 'capacitor' ? 2 : 0.4,
    }),
  );
  if (part.ratings.kind === 'diode') {
    const cathode = holes.find((hole) => splitPin(hole.pin).pin === 'K');
    const up = cathode !== undefined && grid.at(column, cathode.strip).y < middle.y;
    const y = middle.y + (up ? -half + 0.7 : half - 0.7);
    svg.push(line({ x: middle.x - width / 2, y }, { x: middle.x + width / 2, y }, { width: 1 }));
  }
  for (const hole of holes) {
    const at = grid.at(hole.column, hole.strip);
    const leg = splitPin(hole.pin).pin;
    svg.push(dot(at, 0.9));
    if (LEGS.includes(leg)) {
      svg.push(
        text({ x: at.x - 1.6, y: at.y - 0.6 }, leg, {
          size: 2.1,
          anchor: 'end',
          bold: true,
          halo: true,
        }),
      );
    }
  }
  const upright = half > 4 && holes.length === 2;
  svg.push(
    upright
      ? text({ x: middle.x + 0.85, y: middle.y }, part.ref, {
          size: 2.3,
          anchor: 'middle',
          bold: true,
          turn: -90,
        })
      : text({ x: middle.x + width / 2 + 0.7, y: middle.y + 0.9 }, part.ref, {
          size: 2.3,
          bold: true,
          halo: true,
        }),
  );
  return svg;
}

/** Name of a pole and, below it, its wire: sizes of type and places about the screw, mm, by how far strips are apart. */
const LABEL = {
  roomy: { pole: 2.6, above: 0.4, words: 2.1, below: 2.6 },
  tight: { pole: 2.2, above: 0.2, words: 1.8, below: 1.9 },
} as const;
const ROOMY_MM = 6;

function terminals(
  circuit: Circuit,
  plan: BoardPlan,
  grid: Grid,
  side: 'left' | 'right',
): string[] {
  const dx = side === 'left' ? -1 : 1;
  const label = grid.rowStep < ROOMY_MM ? LABEL.tight : LABEL.roomy;
  return [...poleStrips(circuit, plan, side)].flatMap(([pole, strip]) => {
    const at = grid.at(side === 'left' ? 0 : plan.columns + 1, strip);
    const box = { x: at.x + dx * 2, y: at.y };
    const pin = `${plan.terminals}.${pole}`;
    const wires = circuit.wires.filter((wire) => wire.from === pin || wire.to === pin);
    const words = wires.map((wire) => {
      const far = wire.from === pin ? wire.to : wire.from;
      return `${wire.id} ${COLOURS[wire.colour]} ${wire.mm2} mm² to ${far.replace('.', ' ')}`;
    });
    return [
      rect(side === 'left' ? box.x - 6 : box.x, at.y - 2.6, 6, 5.2, { fill: 'white' }),
      circle({ x: box.x + dx * 3, y: at.y }, 1.5, { fill: 'white', width: LINE.thin }),
      line(
        { x: box.x + dx * 3 - 1.1, y: at.y },
        { x: box.x + dx * 3 + 1.1, y: at.y },
        { width: LINE.thin },
      ),
      text({ x: box.x + dx * 7.5, y: at.y - label.above }, pole, {
        size: label.pole,
        bold: true,
        anchor: side === 'left' ? 'end' : 'start',
      }),
      text({ x: box.x + dx * 7.5, y: at.y + label.below }, words.join('; '), {
        size: label.words,
        anchor: side === 'left' ? 'end' : 'start',
      }),
    ];
  });
}

function links(plan: BoardPlan, grid: Grid): string[] {
  return Object.entries(plan.links).flatMap(([net, column]) => {
    const rows = stripsOf(plan, net);
    const from = grid.at(column, Math.min(...rows));
    const to = grid.at(column, Math.max(...rows));
    return [
      line(from, to, { width: 0.7, dash: '2 1' }),
      ...rows.map((strip) => dot(grid.at(column, strip), 1.1)),
      text({ x: from.x - 0.8, y: (from.y + to.y) / 2 }, 'link', {
        size: 2.1,
        anchor: 'middle',
        turn: -90,
        halo: true,
      }),
    ];
  });
}

/** Picture of a strip board with its parts, links, terminals and the wires that leave it. */
export function drawBoard(circuit: Circuit, plan: BoardPlan): string {
  const grid = gridOf(plan);
  const size = boardSize(plan);
  const edge = grid.at(0, 1);
  const end = grid.at(plan.columns + 1, plan.strips.length);
  const parts = Object.entries(plan.parts).flatMap(([ref, column]) => {
    const part = findPart(circuit, ref);
    return part === undefined ? [] : body(part, holesOf(circuit, plan, ref, column), grid);
  });
  return sheet(
    plan.title,
    `Strips run from left to right: every second one, every second hole of a 2.54 mm strip board of ${size.strips} strips of ${size.holes} holes, as numbered. Black dots are soldered.`,
    [
      rect(edge.x - 4, edge.y - 4, end.x - edge.x + 8, end.y - edge.y + 8, {
        width: 0.6,
        fill: 'white',
      }),
      ...strips(plan, grid),
      ...ruler(plan, grid),
      ...links(plan, grid),
      ...parts,
      ...terminals(circuit, plan, grid, 'left'),
      ...terminals(circuit, plan, grid, 'right'),
      ...plan.notes.map((words, i) => text({ x: 11, y: 189 + i * 3.5 }, words, { size: 2.5 })),
    ],
  );
}
