/** What every part of a sheet's file is written from, and KiCad's grid. */
import { REVISION } from '../../circuit/revision';
import type { Point } from '../../draw/svg';
import { type Form, q } from '../expression';
import { identity, uuid } from '../identity';
import type { KicadPart, Project, ProjectSheet } from '../projects';
import { font, LIBRARY } from './symbols';

/** Sheets are drawn on 2.5 mm; KiCad joins what lies on 2.54. Shifted away from the frame. */
export const STEP = { drawn: 1.25, kicad: 1.27 } as const;

const SHIFT_X = 10.16;

const snapped = (mm: number): number => Math.round(mm / STEP.drawn) * STEP.kicad;

export const onGrid = ({ x, y }: Point): Point => ({ x: snapped(x) + SHIFT_X, y: snapped(y) });

export const atPoint = (a: Point, b: Point): boolean =>
  Math.abs(a.x - b.x) < 0.01 && Math.abs(a.y - b.y) < 0.01;

/** Everything one file is written from. */
export interface Job {
  readonly project: Project;
  readonly sheet: ProjectSheet;
  /** Path of the sheet's symbols: root and sheet. */
  readonly path: string;
}

export const rootId = (project: Project): string => identity(project.name, 'root');

export const sheetId = (project: Project, sheet: ProjectSheet): string =>
  identity(project.name, 'sheet', sheet.name);

export const sheetFile = ({ name }: ProjectSheet): string =>
  `${name.toLowerCase().replaceAll(' ', '-')}.kicad_sch`;

export function titleBlock(title: string, comments: readonly string[]): Form {
  return [
    'title_block',
    ['title', q(title)],
    ['date', q(REVISION.date)],
    ['rev', q(REVISION.letter)],
    ['company', q('Trayward')],
    ...comments.map((text, index): Form => ['comment', index + 1, q(text)]),
  ];
}

export interface Instance {
  readonly id: string;
  readonly ref: string;
  readonly at: Point;
  readonly angle: number;
  readonly unit: number;
  readonly properties: readonly Form[];
  readonly pads: readonly string[];
  readonly onBoard: boolean;
  readonly inBom: boolean;
}

/** Identifier of a symbol, by which the board finds its part. */
export const symbolId = (project: Project, ref: string, unit: number): string =>
  identity('symbol', project.name, ref, String(unit));

/** The first sheet that shows a part. */
export function homeOf(project: Project, part: KicadPart): ProjectSheet {
  const pins = new Set<string>([...part.pads.keys()].map((pin) => `${part.part.ref}.${pin}`));
  const found = project.sheets.find(
    ({ plan }) =>
      plan.parts[part.ref] !== undefined ||
      plan.modules.some(({ ref }) => ref === part.ref) ||
      plan.pins.some(({ pin }) => pins.has(pin)),
  );
  if (found === undefined) throw new Error(`${part.ref} is on no sheet`);
  return found;
}

export function instance({ project, path }: Job, one: Instance): Form {
  const name = ['symbol', project.name, one.ref, String(one.unit)];
  return [
    'symbol',
    ['lib_id', q(`${LIBRARY}:${one.id}`)],
    ['at', one.at.x, one.at.y, one.angle],
    ['unit', one.unit],
    ['exclude_from_sim', 'no'],
    ['in_bom', one.inBom ? 'yes' : 'no'],
    ['on_board', one.onBoard ? 'yes' : 'no'],
    ['dnp', 'no'],
    ['uuid', q(symbolId(project, one.ref, one.unit))],
    ...one.properties,
    ...one.pads.map((pad): Form => ['pin', q(pad), uuid(...name, 'pin', pad)]),
    [
      'instances',
      [
        'project',
        q(project.name),
        ['path', q(path), ['reference', q(one.ref)], ['unit', one.unit]],
      ],
    ],
  ];
}

export const note = ({ project, sheet }: Job, at: Point, text: string): Form => [
  'text',
  q(text),
  ['exclude_from_sim', 'no'],
  ['at', at.x, at.y, 0],
  font(1.4, ['justify', 'left', 'top']),
  uuid(project.name, sheet.name, 'note', `${at.x},${at.y}`),
];
