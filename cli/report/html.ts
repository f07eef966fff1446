/** Markup as text in which everything is escaped that was not written here: titles and notes come from anywhere. Pure. */

/** Markup that may stand in a page as it is. Made by `html` alone. */
export class Markup {
  constructor(readonly text: string) {}
}

export type Piece = Markup | string | number | null | readonly Piece[];

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Characters that no page may have (HTML standard, 13.2.3.5): controls but for tab and line feed. */
const isControl = (char: string): boolean => {
  const code = char.charCodeAt(0);
  return (code < 32 && code !== 9 && code !== 10) || (code >= 127 && code < 160);
};

/** `text` for content and for quoted attributes. */
export const escaped = (text: string): string =>
  [...text].map((char) => ENTITIES[char] ?? (isControl(char) ? '' : char)).join('');

function textOf(piece: Piece): string {
  if (piece === null) return '';
  if (piece instanceof Markup) return piece.text;
  if (typeof piece === 'string') return escaped(piece);
  if (typeof piece === 'number') return Number.isFinite(piece) ? String(piece) : '';
  return piece.map(textOf).join('');
}

/** Markup with the values between escaped; lists are put in one after the other. */
export function html(parts: TemplateStringsArray, ...values: readonly Piece[]): Markup {
  return new Markup(parts.map((part, i) => part + textOf(values[i] ?? null)).join(''));
}

/** JSON for a data block: no text in it ends the block. */
export const dataBlock = (value: unknown): Markup =>
  new Markup(JSON.stringify(value).replaceAll('<', '\\u003c'));
