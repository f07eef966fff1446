/** `NAME.kicad_pcb`: the board with its footprints in it. */
import { REVISION } from '../circuit/revision';
import type { Point } from '../draw/svg';
import type { Board } from './board';
import { type Form, q, write } from './expression';
import { footprintForm, holeForm } from './footprint-form';
import { uuid } from './identity';
import { edgeLine, letters, ORIGIN, shifted } from './legend';
import { kicadNets } from './net-names';
import type { Track, Via } from './placed';
import type { Fill } from './pour';
import { THERMAL, THINNEST_MM } from './pour';
import { titleBlock } from './schematic/job';
import { COPPER } from './widths';

const FORMAT = 20241229;

/** KiCad 9's numbers of its layers. */
const LAYER_TABLE: readonly (readonly [number, string, string, string?])[] = [
  [0, 'F.Cu', 'signal'],
  [2, 'B.Cu', 'signal'],
  [9, 'F.Adhes', 'user', 'F.Adhesive'],
  [11, 'B.Adhes', 'user', 'B.Adhesive'],
  [13, 'F.Paste', 'user'],
  [15, 'B.Paste', 'user'],
  [5, 'F.SilkS', 'user', 'F.Silkscreen'],
  [7, 'B.SilkS', 'user', 'B.Silkscreen'],
  [1, 'F.Mask', 'user'],
  [3, 'B.Mask', 'user'],
  [17, 'Dwgs.User', 'user', 'User.Drawings'],
  [19, 'Cmts.User', 'user', 'User.Comments'],
  [25, 'Edge.Cuts', 'user'],
  [27, 'Margin', 'user'],
  [31, 'F.CrtYd', 'user', 'F.Courtyard'],
  [29, 'B.CrtYd', 'user', 'B.Courtyard'],
  [35, 'F.Fab', 'user'],
  [33, 'B.Fab', 'user'],
];

const xy = (at: Point): Form => {
  const { x, y } = shifted(at);
  return ['xy', x, y];
};

/** Numbers of the nets in the file: 0 is none. */
export interface NetTable {
  readonly names: readonly string[];
  number(net: string | null): number;
  name(net: string | null): string;
}

export function netTable({ layout }: Board): NetTable {
  const theirs = kicadNets(layout.project);
  const own = [...theirs.keys()];
  return {
    names: [...theirs.values()],
    number: (net) => (net === null ? 0 : own.indexOf(net) + 1),
    name: (net) => (net === null ? '' : (theirs.get(net) ?? net)),
  };
}

const at = (name: string, point: Point): Form => {
  const { x, y } = shifted(point);
  return [name, x, y];
};

function trackForm(board: Board, nets: NetTable, track: Track, index: number): Form {
  return [
    'segment',
    at('start', track.from),
    at('end', track.to),
    ['width', track.width],
    ['layer', q(track.layer)],
    ['net', nets.number(track.net)],
    uuid(board.layout.project.name, 'track', String(index)),
  ];
}

const viaForm = (board: Board, nets: NetTable, via: Via, index: number): Form => [
  'via',
  at('at', via.at),
  ['size', COPPER.viaMm],
  ['drill', COPPER.viaDrillMm],
  ['layers', q('F.Cu'), q('B.Cu')],
  ['net', nets.number(via.net)],
  uuid(board.layout.project.name, 'via', String(index)),
];

/** One zone for each pour and layer, with all its pieces. */
function zones(board: Board, nets: NetTable): Form[] {
  return board.layout.pours.flatMap((pour, index) =>
    pour.layers.map((layer): Form => {
      const fills = board.fills.filter((fill) => fill.pour === pour && fill.layer === layer);
      return [
        'zone',
        ['net', nets.number(pour.net)],
        ['net_name', q(nets.name(pour.net))],
        ['layer', q(layer)],
        uuid(board.layout.project.name, 'zone', String(index), layer),
        ['name', q(`${pour.net} ${layer}`)],
        ['hatch', 'edge', 0.5],
        ['priority', pour.priority],
        ['connect_pads', ['clearance', COPPER.clearanceMm]],
        ['min_thickness', THINNEST_MM],
        ['filled_areas_thickness', 'no'],
        ['fill', 'yes', ['thermal_gap', THERMAL.gapMm], ['thermal_bridge_width', THERMAL.bridgeMm]],
        ['polygon', ['pts', ...pour.outline.map(xy)]],
        ...fills.map(
          (fill: Fill): Form => [
            'filled_polygon',
            ['layer', q(layer)],
            ['pts', ...fill.outline.map(xy)],
          ],
        ),
      ];
    }),
  );
}

function outline(board: Board): Form[] {
  const { width, height, project } = board.layout;
  const corners = [
    { x: 0, y: 0 },
    { x: width, y: 0 },
    { x: width, y: height },
    { x: 0, y: height },
  ];
  return corners.map((from, index) =>
    edgeLine(from, corners[(index + 1) % 4] ?? from, [project.name, 'edge', String(index)]),
  );
}

function setup({ layout }: Board): Form {
  const corner = shifted({ x: 0, y: layout.height });
  return [
    'setup',
    ['pad_to_mask_clearance', 0.05],
    ['allow_soldermask_bridges_in_footprints', 'no'],
    ['aux_axis_origin', corner.x, corner.y],
    ['grid_origin', ORIGIN.x, ORIGIN.y],
  ];
}

/** The words of the legend that belong to no part. */
function legend({ layout, parts }: Board): Form[] {
  const name = layout.project.name;
  const shortTitle = layout.project.title.split(':')[0] ?? '';
  return [
    ...[`${shortTitle}`, `rev ${REVISION.letter}  ${REVISION.date}`].map((text, row) =>
      letters({ at: { x: layout.title.x, y: layout.title.y + row * 2.6 }, text, size: 1.5 }, [
        name,
        'title',
        String(row),
      ]),
    ),
    ...layout.words.map((words, index) => letters(words, [name, 'words', String(index)])),
    ...parts.flatMap((part) => poleNames(part, name)),
  ];
}

/** The names of a connector's poles, on the side away from the wires. */
function poleNames({ part, pads, spot, shape }: Board['parts'][number], name: string): Form[] {
  if (!/^(X|J)\d/.test(part.ref)) return [];
  const [, , turn] = spot;
  const screw = shape.pads.some(({ width }) => width > 2);
  const off = screw ? 5.6 : 1.6;
  // Pins beside the left edge of the controller board are named on their left.
  const before = part.ref === 'X24';
  const named = pads.flatMap(({ pin, at: where }) => (pin === null ? [] : [{ where, pin }]));
  return named.map(({ where, pin }) => {
    const text = pin.slice(pin.indexOf('.') + 1);
    const key = [name, 'pole', pin];
    if (before)
      return letters({ at: { x: where.x - off, y: where.y }, text, anchor: 'right' }, key);
    if (!screw || turn === 270)
      return letters({ at: { x: where.x + off, y: where.y }, text, anchor: 'left' }, key);
    if (turn === 90)
      return letters({ at: { x: where.x - off, y: where.y }, text, anchor: 'right' }, key);
    return letters({ at: { x: where.x, y: where.y - off - 0.9 }, text }, key);
  });
}

/** The text of the board's file. */
export function boardText(board: Board): string {
  const { layout, parts, tracks, vias } = board;
  const nets = netTable(board);
  return `${write([
    'kicad_pcb',
    ['version', FORMAT],
    ['generator', q('trayward')],
    ['generator_version', q('9.0')],
    ['general', ['thickness', 1.6], ['legacy_teardrops', 'no']],
    ['paper', q('A4')],
    titleBlock(layout.project.title, []),
    [
      'layers',
      ...LAYER_TABLE.map(
        ([number, name, type, shown]): Form => [
          String(number),
          q(name),
          type,
          ...(shown === undefined ? [] : [q(shown)]),
        ],
      ),
    ],
    setup(board),
    ['net', 0, q('')],
    ...nets.names.map((name, index): Form => ['net', index + 1, q(name)]),
    ...parts.map((part) => footprintForm(layout.project, part, nets)),
    ...layout.holes.map((hole, index) => holeForm(layout.project, hole, index)),
    ...outline(board),
    ...legend(board),
    ...tracks.map((track, index) => trackForm(board, nets, track, index)),
    ...vias.map((via, index) => viaForm(board, nets, via, index)),
    ...zones(board, nets),
    ['embedded_fonts', 'no'],
  ])}\n`;
}
