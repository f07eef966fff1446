/** How results look: colours, aligned tables, labelled facts, wrapped text. Pure strings. */
import pc from 'picocolors';

/** Widest line we write; fits the smallest terminal a grower is likely to have. */
const WIDTH = 80;

/** Narrower than this, lines would be all hyphens: the terminal may break them itself. */
const WIDTH_MIN = 40;

/** Width to write for on a terminal, or elsewhere, where `columns` is unknown. */
export function widthFor(columns: number | undefined): number {
  return Math.min(WIDTH, Math.max(WIDTH_MIN, columns ?? WIDTH));
}

/** Colours by meaning, never the only carrier of it: the words say the same. And the room there is. */
export interface Style {
  /** Columns to write in. */
  readonly width: number;
  readonly strong: (text: string) => string;
  readonly quiet: (text: string) => string;
  readonly good: (text: string) => string;
  readonly warn: (text: string) => string;
  readonly bad: (text: string) => string;
}

/** Styles that colour, or leave text alone where colours are not wanted. */
export function createStyle(colours: boolean, width = WIDTH): Style {
  const c = pc.createColors(colours);
  return { width, strong: c.bold, quiet: c.dim, good: c.green, warn: c.yellow, bad: c.red };
}

/** Whether to colour: only on a terminal, and never against NO_COLOR (no-color.org). */
export function wantsColours(
  isTTY: boolean,
  env: Readonly<Record<string, string | undefined>>,
): boolean {
  return isTTY && (env.NO_COLOR ?? '') === '' && env.TERM !== 'dumb';
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: the escape character begins a colour code
const COLOUR_CODE = /\x1b\[[0-9;]*m/g;

/** Columns a text takes on screen: colour codes take none. */
export function visibleWidth(text: string): number {
  return [...text.replace(COLOUR_CODE, '')].length;
}

export type Align = 'left' | 'right';

function pad(text: string, width: number, align: Align): string {
  const gap = ' '.repeat(Math.max(0, width - visibleWidth(text)));
  return align === 'left' ? text + gap : gap + text;
}

export interface Column {
  readonly title: string;
  readonly align?: Align;
}

/** An aligned table with quiet titles, two spaces between columns. Cells may carry colours. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  style: Style,
): string {
  const widths = columns.map((column, i) =>
    Math.max(visibleWidth(column.title), ...rows.map((row) => visibleWidth(row[i] ?? ''))),
  );
  const line = (cells: readonly string[]): string =>
    columns
      .map((column, i) => pad(cells[i] ?? '', widths[i] ?? 0, column.align ?? 'left'))
      .join('  ')
      .trimEnd();
  const head = line(columns.map((column) => column.title));
  return [style.quiet(head), ...rows.map(line)].join('\n');
}

/** One labelled value; `note` is said quietly after it. */
export interface Fact {
  readonly label: string;
  readonly value: string;
  readonly note?: string;
}

/** Labelled values below each other, values aligned; notes go on their own line when too wide. */
export function facts(list: readonly Fact[], style: Style, indent = 0): string {
  const lead = ' '.repeat(indent);
  const labelWidth = Math.max(...list.map((fact) => visibleWidth(fact.label)));
  return list
    .map(({ label, value, note }) => {
      const line = `${lead}${pad(label, labelWidth, 'left')}  ${value}`;
      if (note === undefined || note === '') return line;
      if (visibleWidth(line) + 2 + visibleWidth(note) <= style.width)
        return `${line}  ${style.quiet(note)}`;
      const hang = ' '.repeat(indent + labelWidth + 2);
      const wrapped = wrap(note, style.width - hang.length).split('\n');
      return [line, ...wrapped.map((part) => hang + style.quiet(part))].join('\n');
    })
    .join('\n');
}

/** Text broken at spaces so that no line is wider than `width`; line breaks in it are kept. */
export function wrap(text: string, width = WIDTH): string {
  return text
    .split('\n')
    .map((paragraph) => {
      const lines: string[] = [];
      let line = '';
      for (const word of paragraph.split(' ')) {
        if (line !== '' && visibleWidth(line) + 1 + visibleWidth(word) > width) {
          lines.push(line);
          line = word;
        } else {
          line = line === '' ? word : `${line} ${word}`;
        }
      }
      lines.push(line);
      return lines.join('\n');
    })
    .join('\n');
}

/** Text with every line moved right by `by` spaces. */
export function indented(text: string, by: number): string {
  return text.replace(/^(?=.)/gm, ' '.repeat(by));
}
