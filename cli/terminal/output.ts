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
  /** Columns to write sentences in. */
  readonly width: number;
  /** Columns for tables and lists: without end where no terminal is, for what reads them by lines. */
  readonly rowWidth: number;
  readonly strong: (text: string) => string;
  readonly quiet: (text: string) => string;
  readonly good: (text: string) => string;
  readonly warn: (text: string) => string;
  readonly bad: (text: string) => string;
}

type Env = Readonly<Record<string, string | undefined>>;

/** A sink, as far as its looks go: a terminal or not, and how wide. */
interface Surface {
  readonly isTTY?: boolean;
  readonly columns?: number;
}

/** How to write on a sink: with colours where they are wanted, as wide as it is. */
export function styleFor({ isTTY = false, columns }: Surface, env: Env): Style {
  const width = widthFor(columns);
  return createStyle(wantsColours(isTTY, env), width, isTTY ? width : Number.POSITIVE_INFINITY);
}

/** Styles that colour, or leave text alone where colours are not wanted. */
export function createStyle(colours: boolean, width = WIDTH, rowWidth = width): Style {
  const c = pc.createColors(colours);
  return {
    width,
    rowWidth,
    strong: c.bold,
    quiet: c.dim,
    good: c.green,
    warn: c.yellow,
    bad: c.red,
  };
}

/** Whether to colour: only on a terminal, and never against NO_COLOR (no-color.org). */
export function wantsColours(isTTY: boolean, env: Env): boolean {
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

/** Narrowest column that text is broken into: a word or two. */
const CELL_MIN = 12;
const GAP = '  ';

/** Widths that fit into `room`: the widest columns give way, as far as text can be broken into them. */
function fitWidths(wanted: readonly number[], room: number): number[] {
  const widths = [...wanted];
  const total = (): number => widths.reduce((sum, width) => sum + width + GAP.length, -GAP.length);
  while (total() > room) {
    const widest = Math.max(...widths);
    if (widest <= CELL_MIN) break;
    const at = widths.indexOf(widest);
    const next = Math.max(CELL_MIN, ...widths.filter((width) => width < widest));
    widths[at] = Math.max(next, widest - (total() - room));
  }
  return widths;
}

/** An aligned table with quiet titles, two spaces between columns. Cells may carry colours. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  style: Style,
): string {
  const wanted = columns.map((column, i) =>
    Math.max(visibleWidth(column.title), ...rows.map((row) => visibleWidth(row[i] ?? ''))),
  );
  const widths = fitWidths(wanted, style.rowWidth);
  const line = (cells: readonly string[]): string => {
    const parts = columns.map((_, i) => wrap(cells[i] ?? '', widths[i]).split('\n'));
    const height = Math.max(...parts.map((part) => part.length));
    return Array.from({ length: height }, (_, row) =>
      columns
        .map((column, i) => pad(parts[i]?.[row] ?? '', widths[i] ?? 0, column.align ?? 'left'))
        .join(GAP)
        .trimEnd(),
    ).join('\n');
  };
  const head = line(columns.map((column) => column.title));
  return [style.quiet(head), ...rows.map(line)].join('\n');
}

/** One labelled value; `note` is said quietly after it, unless the two have a tone: that is not to be overlooked. */
export interface Fact {
  readonly label: string;
  readonly value: string;
  readonly note?: string;
  readonly tone?: 'warn' | 'bad';
}

/** Labelled values below each other, values aligned; notes go on their own line when too wide. */
export function facts(list: readonly Fact[], style: Style, indent = 0): string {
  const lead = ' '.repeat(indent);
  const labelWidth = Math.max(...list.map((fact) => visibleWidth(fact.label)));
  const hang = ' '.repeat(indent + labelWidth + GAP.length);
  const hung = (text: string): string[] => wrap(text, style.width - hang.length).split('\n');
  return list
    .map(({ label, value, note = '', tone }) => {
      const aside = tone === undefined ? style.quiet : style[tone];
      const tinted = tone === undefined ? (text: string) => text : style[tone];
      const values = hung(value).map((part) => tinted(part));
      const line = lead + pad(label, labelWidth, 'left') + GAP + values.join(`\n${hang}`);
      if (note === '') return line;
      if (values.length === 1 && visibleWidth(line + GAP + note) <= style.width)
        return line + GAP + aside(note);
      return [line, ...hung(note).map((part) => hang + aside(part))].join('\n');
    })
    .join('\n');
}

/**
 * Text broken at spaces so that no line is wider than `width`. Line breaks in it are kept, and what
 * is moved right stays so: the lines that a paragraph is broken into begin where it begins (those of a
 * list's item under its first word), or after `hang` more columns. A command between backticks stays in
 * one piece if there is room.
 */
export function wrap(text: string, width = WIDTH, hang = 0): string {
  return text
    .split('\n')
    .map((paragraph) => wrapParagraph(paragraph, width, hang))
    .join('\n');
}

/** A space that is followed by an even number of backticks, so not within a pair of them. */
const OUTSIDE_COMMAND = / (?=[^`]*(?:`[^`]*`[^`]*)*$)/;

function wrapParagraph(paragraph: string, width: number, hang: number): string {
  if (visibleWidth(paragraph) <= width) return paragraph;
  const [, lead = '', mark = ''] = /^( *)(- )?/.exec(paragraph) ?? [];
  const begin = lead + ' '.repeat(mark.length + hang);
  const pieces = paragraph.slice(lead.length).split(OUTSIDE_COMMAND);
  const words = pieces.flatMap((piece) =>
    visibleWidth(begin + piece) > width ? piece.split(' ') : [piece],
  );
  const lines: string[] = [];
  let line = lead;
  let isEmpty = true;
  for (const word of words) {
    if (!isEmpty && visibleWidth(line) + 1 + visibleWidth(word) > width) {
      lines.push(line);
      line = begin + word;
    } else {
      line += isEmpty ? word : ` ${word}`;
      isEmpty = false;
    }
  }
  return [...lines, line].join('\n');
}

/** Text with every line moved right by `by` spaces. */
export function indented(text: string, by: number): string {
  return text.replace(/^(?=.)/gm, ' '.repeat(by));
}
