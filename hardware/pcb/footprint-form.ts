/** A part on the board as KiCad writes it: pads, body, courtyard, legend. */
import type { Point } from '../draw/svg';
import type { NetTable } from './board-file';
import { type Form, q } from './expression';
import type { Box, Pad } from './footprint';
import { footprint, MOUNTING_HOLE } from './footprints';
import { uuid } from './identity';
import { LEGEND, shifted, textEffects } from './legend';
import type { PlacedPad, PlacedPart } from './placed';
import type { Project } from './projects';
import { homeOf, sheetFile, sheetId, symbolId } from './schematic/job';
import { ELECTRICAL } from './schematic/symbols';

type Key = readonly string[];

const fpLine = (from: Point, to: Point, layer: string, width: number, key: Key): Form => [
  'fp_line',
  ['start', from.x, from.y],
  ['end', to.x, to.y],
  ['stroke', ['width', width], ['type', 'solid']],
  ['layer', q(layer)],
  uuid(...key),
];

const fpBox = ({ left, top, right, bottom }: Box, layer: string, width: number, key: Key): Form => [
  'fp_rect',
  ['start', left, top],
  ['end', right, bottom],
  ['stroke', ['width', width], ['type', 'solid']],
  ['fill', 'no'],
  ['layer', q(layer)],
  uuid(...key),
];

const fpRing = (centre: Point, radius: number, layer: string, width: number, key: Key): Form => [
  'fp_circle',
  ['center', centre.x, centre.y],
  ['end', centre.x + radius, centre.y],
  ['stroke', ['width', width], ['type', 'solid']],
  ['fill', 'no'],
  ['layer', q(layer)],
  uuid(...key),
];

/** The body's outline on the legend runs clear of the pads by this, or would be printed on them. */
const SILK_GAP_MM = 0.25;

/** Pieces of a straight side of the body that no pad or pad's margin touches. */
function clearPieces(from: Point, to: Point, pads: readonly Pad[]): (readonly [Point, Point])[] {
  const level = from.y === to.y;
  const along = (point: Point): number => (level ? point.x : point.y);
  const cuts = pads.flatMap((pad) => {
    const reachX = pad.width / 2 + SILK_GAP_MM + LEGEND.line;
    const reachY = pad.height / 2 + SILK_GAP_MM + LEGEND.line;
    const off = level ? Math.abs(pad.y - from.y) : Math.abs(pad.x - from.x);
    if (off >= (level ? reachY : reachX)) return [];
    const reach = level ? reachX : reachY;
    return [[along(pad) - reach, along(pad) + reach] as const];
  });
  const [low, high] = [Math.min(along(from), along(to)), Math.max(along(from), along(to))];
  let start = low;
  const pieces: (readonly [number, number])[] = [];
  for (const [a, b] of [...cuts].sort((one, two) => one[0] - two[0])) {
    if (a > start) pieces.push([start, Math.min(a, high)]);
    start = Math.max(start, b);
  }
  if (start < high) pieces.push([start, high]);
  const point = (value: number): Point =>
    level ? { x: value, y: from.y } : { x: from.x, y: value };
  return pieces.filter(([a, b]) => b - a > 0.3).map(([a, b]) => [point(a), point(b)] as const);
}

function bodyForms({ shape, part }: PlacedPart, key: Key): Form[] {
  const { body, round, marks, pads } = shape;
  if (round !== undefined)
    return [fpRing(round.centre, round.radius, 'F.SilkS', LEGEND.line, [...key, 'body'])];
  const corners: Point[] = [
    { x: body.left, y: body.top },
    { x: body.right, y: body.top },
    { x: body.right, y: body.bottom },
    { x: body.left, y: body.bottom },
  ];
  const sides = corners.flatMap((from, index) =>
    clearPieces(from, corners[(index + 1) % 4] ?? from, pads),
  );
  return [...sides, ...marks].map(([from, to], index) =>
    fpLine(from, to, 'F.SilkS', LEGEND.line, [...key, part.ref, 'silk', String(index)]),
  );
}

const property = (
  name: string,
  value: string,
  at: Point,
  turn: number,
  layer: string,
  hidden: boolean,
  key: Key,
): Form => [
  'property',
  q(name),
  q(value),
  ['at', at.x, at.y, turn],
  ['layer', q(layer)],
  ...(hidden ? [['hide', 'yes'] as const] : []),
  uuid(...key, name),
  textEffects(LEGEND.size),
];

function padForm(
  { pad, net, pin }: PlacedPad,
  { spot, part }: PlacedPart,
  nets: NetTable,
  key: Key,
): Form {
  const [, , turn] = spot;
  const through = pad.drill !== null;
  const bare = through && pad.number === '';
  const shape = pad.shape === 'roundrect' ? 'roundrect' : pad.shape;
  const name = pin?.slice(pin.indexOf('.') + 1) ?? '';
  const role = part.part.pins[name] ?? 'passive';
  return [
    'pad',
    q(pad.number),
    bare ? 'np_thru_hole' : through ? 'thru_hole' : 'smd',
    shape,
    ['at', pad.x, pad.y, turn],
    ['size', pad.width, pad.height],
    ...(pad.drill === null ? [] : [['drill', pad.drill] as const]),
    through ? ['layers', q('*.Cu'), q('*.Mask')] : ['layers', q('F.Cu'), q('F.Mask'), q('F.Paste')],
    ...(through && !bare ? [['remove_unused_layers', 'no'] as const] : []),
    ...(pad.shape === 'roundrect' ? [['roundrect_rratio', 0.1] as const] : []),
    ...(net === null
      ? []
      : [
          ['net', nets.number(net), q(nets.name(net))] as const,
          ['pinfunction', q(name)] as const,
          ['pintype', q(ELECTRICAL[role])] as const,
        ]),
    uuid(...key, 'pad', `${pad.number}@${pad.x},${pad.y}`),
  ];
}

/** What the legend says beside the reference: a fuse's rating, what a test point is for. */
function besides(placed: PlacedPart, turn: number, key: Key): Form[] {
  const { part, shape } = placed;
  const { kind } = part.part.ratings;
  const text = (at: Point, words: string, index: number): Form => [
    'fp_text',
    'user',
    q(words),
    ['at', at.x, at.y, turn],
    ['layer', q('F.SilkS')],
    uuid(...key, 'words', String(index)),
    textEffects(LEGEND.size),
  ];
  const extra =
    kind === 'test-point'
      ? [text({ x: 0, y: 2.2 }, part.part.value, 90)]
      : kind === 'fuse' && part.part.ratings.kind === 'fuse' && part.part.ratings.style === 'blade'
        ? [text({ x: shape.label.x, y: 3.4 }, part.part.value, 90)]
        : [];
  return [...shape.letters.map(({ at, text: words }, index) => text(at, words, index)), ...extra];
}

/** Words run with the part, and never upside down. */
const readable = (turn: number): number => (turn % 180 === 0 ? 0 : 90);

export function footprintForm(project: Project, placed: PlacedPart, nets: NetTable): Form {
  const { part, spot, shape, pads } = placed;
  const [x, y, turn] = spot;
  const at = shifted({ x, y });
  const key = [project.name, 'footprint', part.ref];
  const words = readable(turn);
  const sheet = homeOf(project, part);
  const smd = shape.pads.every(({ drill }) => drill === null);
  const middle = {
    x: (shape.body.left + shape.body.right) / 2,
    y: (shape.body.top + shape.body.bottom) / 2,
  };
  return [
    'footprint',
    q(part.footprint ?? ''),
    ['layer', q('F.Cu')],
    uuid(...key),
    ['at', at.x, at.y, turn],
    property('Reference', part.ref, shape.label, words, 'F.SilkS', false, key),
    property('Value', part.part.value, middle, words, 'F.Fab', false, key),
    property('Datasheet', '', { x: 0, y: 0 }, words, 'F.Fab', true, key),
    property('Description', part.bought, { x: 0, y: 0 }, words, 'F.Fab', true, key),
    ['path', q(`/${sheetId(project, sheet)}/${symbolId(project, part.ref, 1)}`)],
    ['sheetname', q(`/${sheet.name}/`)],
    ['sheetfile', q(sheetFile(sheet))],
    ['attr', smd ? 'smd' : 'through_hole'],
    fpBox(shape.body, 'F.Fab', 0.1, [...key, 'fab']),
    fpBox(shape.courtyard, 'F.CrtYd', 0.05, [...key, 'courtyard']),
    ...bodyForms(placed, key),
    ...besides(placed, words, key),
    ...pads.map((pad) => padForm(pad, placed, nets, key)),
    ['embedded_fonts', 'no'],
  ];
}

/** A mounting hole: on the board alone, bought by nobody, placed by no machine. */
export function holeForm(project: Project, hole: Point, index: number): Form {
  const ref = `H${index + 1}`;
  const key = [project.name, 'footprint', ref];
  const at = shifted(hole);
  const shape = footprint(MOUNTING_HOLE);
  const [pad] = shape.pads;
  if (pad === undefined) throw new Error('a mounting hole without a hole');
  const { round } = shape;
  return [
    'footprint',
    q(MOUNTING_HOLE),
    ['layer', q('F.Cu')],
    uuid(...key),
    ['at', at.x, at.y, 0],
    property('Reference', ref, { x: 0, y: 0 }, 0, 'F.Fab', false, key),
    property('Value', 'M3', { x: 0, y: 1.8 }, 0, 'F.Fab', false, key),
    ['attr', 'board_only', 'exclude_from_pos_files', 'exclude_from_bom'],
    fpBox(shape.courtyard, 'F.CrtYd', 0.05, [...key, 'courtyard']),
    ...(round === undefined
      ? []
      : [fpRing(round.centre, round.radius, 'F.SilkS', LEGEND.line, [...key, 'head'])]),
    [
      'pad',
      q(''),
      'np_thru_hole',
      'circle',
      ['at', 0, 0],
      ['size', pad.width, pad.height],
      ['drill', pad.drill ?? pad.width],
      ['layers', q('*.Cu'), q('*.Mask')],
      uuid(...key, 'pad'),
    ],
    ['embedded_fonts', 'no'],
  ];
}
