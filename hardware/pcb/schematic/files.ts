/** The files of a project's schematic. */
import { type Form, q, write } from '../expression';
import { identity, uuid } from '../identity';
import type { Project, ProjectSheet } from '../projects';
import { type Job, note, onGrid, rootId, sheetFile, sheetId, titleBlock } from './job';
import { librarySymbols, modules, poles, symbols } from './symbol-places';
import { font, LIBRARY, property } from './symbols';
import { nets, powerFlags } from './wires';

const PAPER: Form = ['paper', q('User'), 322, 246];

const FORMAT = 20250114;

const shortTitle = ({ title }: Project): string => title.split(':')[0] ?? title;

/** Names of the library's symbols that stand in a form. */
const usedIn = (form: Form): string[] => {
  if (!Array.isArray(form)) return [];
  const [head, name] = form as readonly Form[];
  if (head === 'lib_id' && typeof name === 'object' && 'text' in name)
    return [name.text.slice(LIBRARY.length + 1)];
  return (form as readonly Form[]).flatMap(usedIn);
};

/** The text of one sheet's file. */
export function sheetText(project: Project, sheet: ProjectSheet): string {
  const job: Job = { project, sheet, path: `/${rootId(project)}/${sheetId(project, sheet)}` };
  const body = [...nets(job), ...symbols(job), ...modules(job), ...poles(job), ...powerFlags(job)];
  const ids = new Set(body.flatMap(usedIn));
  return `${write([
    'kicad_sch',
    ['version', FORMAT],
    ['generator', q('trayward')],
    ['generator_version', q('9.0')],
    ['uuid', q(identity(project.name, 'file', sheet.name))],
    PAPER,
    titleBlock(`${shortTitle(project)}: ${sheet.name.toLowerCase()}`, []),
    [
      'lib_symbols',
      ...[...librarySymbols(project)].flatMap(([id, form]) => (ids.has(id) ? [form] : [])),
    ],
    ...body,
    note(job, { x: 25.4, y: 19.05 }, sheet.plan.subtitle),
    ...sheet.plan.notes.map(({ at, words }) => note(job, onGrid(at), words.join('\n'))),
    ['embedded_fonts', 'no'],
  ])}\n`;
}

/** The project's symbol library. Inside it a symbol has no prefix. */
export function libraryText(project: Project): string {
  const bare = [...librarySymbols(project).values()].map((form): Form => {
    const [head, name, ...rest] = form as readonly Form[];
    const text = typeof name === 'object' && 'text' in name ? name.text : '';
    return [head ?? 'symbol', q(text.slice(LIBRARY.length + 1)), ...rest];
  });
  return `${write(['kicad_symbol_lib', ['version', 20241209], ['generator', q('trayward')], ['generator_version', q('9.0')], ...bare])}\n`;
}

/** Words on lines of no more than so many letters. */
function broken(text: string, letters: number): string {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.pop();
    if (last === undefined) lines.push(word);
    else if (last.length + word.length + 1 > letters) lines.push(last, word);
    else lines.push(`${last} ${word}`);
  }
  return lines.join('\n');
}

/** The first sheet: what the others are about. */
export function rootText(project: Project): string {
  const boxes = project.sheets.map((sheet, index): Form => {
    const [x, y] = [30.48 + (index % 2) * 101.6, 45.72 + Math.floor(index / 2) * 50.8];
    return [
      'sheet',
      ['at', x, y],
      ['size', 81.28, 30.48],
      ['exclude_from_sim', 'no'],
      ['in_bom', 'yes'],
      ['on_board', 'yes'],
      ['dnp', 'no'],
      ['stroke', ['width', 0.1524], ['type', 'solid']],
      ['fill', ['color', 0, 0, 0, 0]],
      ['uuid', q(sheetId(project, sheet))],
      property('Sheetname', sheet.name, [x, y - 0.8, 0], ['justify', 'left', 'bottom']),
      property('Sheetfile', sheetFile(sheet), [x, y + 31.2, 0], ['justify', 'left', 'top']),
      [
        'instances',
        [
          'project',
          q(project.name),
          ['path', q(`/${rootId(project)}`), ['page', q(String(index + 2))]],
        ],
      ],
    ];
  });
  const texts = project.sheets.map((sheet, index): Form => {
    const [x, y] = [33.02 + (index % 2) * 101.6, 48.26 + Math.floor(index / 2) * 50.8];
    return [
      'text',
      q(broken(sheet.plan.subtitle, 62)),
      ['exclude_from_sim', 'no'],
      ['at', x, y, 0],
      font(1.27, ['justify', 'left', 'top']),
      uuid(project.name, 'root', 'text', sheet.name),
    ];
  });
  return `${write([
    'kicad_sch',
    ['version', FORMAT],
    ['generator', q('trayward')],
    ['generator_version', q('9.0')],
    ['uuid', q(rootId(project))],
    ['paper', q('A4')],
    titleBlock(project.title, ['Drawn from the netlist in hardware/circuit; not edited by hand']),
    ['lib_symbols'],
    ...boxes,
    ...texts,
    ['sheet_instances', ['path', q('/'), ['page', q('1')]]],
    ['embedded_fonts', 'no'],
  ])}\n`;
}
