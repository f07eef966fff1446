/** KiCad's files are bracketed expressions. Words stand bare, texts in quotes; coordinates in mm. */

/** A text in quotes, such as a name that may hold blanks. */
export interface Quoted {
  readonly text: string;
}

export type Form = string | number | Quoted | readonly Form[];

export const q = (text: string): Quoted => ({ text });

/** Four decimals: a tenth of a micrometre, KiCad's own resolution is ten times finer. */
const numberText = (value: number): string => String(Math.round(value * 10_000) / 10_000 || 0);

const quotedText = (text: string): string =>
  `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n')}"`;

const isList = (form: Form): form is readonly Form[] => Array.isArray(form);

function flat(form: Form): string {
  if (typeof form === 'string') return form;
  if (typeof form === 'number') return numberText(form);
  if (isList(form)) return `(${form.map(flat).join(' ')})`;
  // Sound: the other three are dealt with, and what is left is a text.
  return quotedText((form as Quoted).text);
}

/** Longest line that is kept in one piece. */
const LINE_LETTERS = 110;

/** One expression, with what does not fit on a line on lines of its own. */
export function write(form: Form, depth = 0): string {
  const indent = '  '.repeat(depth);
  const line = flat(form);
  if (!isList(form) || line.length + indent.length <= LINE_LETTERS) return indent + line;
  const head = form.findIndex(isList);
  if (head < 1) return indent + line;
  const start = form.slice(0, head).map(flat).join(' ');
  const rest = form.slice(head).map((part) => write(part, depth + 1));
  return `${indent}(${start}\n${rest.join('\n')}\n${indent})`;
}
