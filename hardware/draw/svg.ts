/** A sheet of paper and what is drawn on it. Millimetres, black on white, A4 lying. */

import { REVISION } from '../circuit/revision';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export const SHEET_MM = { width: 297, height: 210 } as const;

/** Line widths, mm: readable when printed, and after a photocopy. */
export const LINE = { fine: 0.2, thin: 0.3, normal: 0.45, thick: 0.9 } as const;

export interface TextStyle {
  readonly size?: number;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly bold?: boolean;
  readonly mono?: boolean;
  /** Degrees clockwise about its own point. */
  readonly turn?: number;
  /** White halo, so that lines behind do not disturb. */
  readonly halo?: boolean;
}

const escapeXml = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

/** Coordinates with two decimals at most, so that the files change only where the drawing does. */
export const mm = (value: number): string => String(Math.round(value * 100) / 100);

const points = (list: readonly Point[]): string =>
  list.map(({ x, y }) => `${mm(x)},${mm(y)}`).join(' ');

export interface Stroke {
  readonly width?: number;
  readonly dash?: string;
  readonly fill?: string;
  readonly colour?: string;
}

const paint = ({ width = LINE.normal, dash, fill = 'none', colour = 'black' }: Stroke): string =>
  `fill="${fill}" stroke="${colour}" stroke-width="${mm(width)}"${dash === undefined ? '' : ` stroke-dasharray="${dash}"`}`;

export function line(from: Point, to: Point, stroke: Stroke = {}): string {
  return `<line x1="${mm(from.x)}" y1="${mm(from.y)}" x2="${mm(to.x)}" y2="${mm(to.y)}" ${paint(stroke)}/>`;
}

export function polyline(list: readonly Point[], stroke: Stroke = {}): string {
  return `<polyline points="${points(list)}" stroke-linejoin="round" ${paint(stroke)}/>`;
}

export function polygon(list: readonly Point[], stroke: Stroke = {}): string {
  return `<polygon points="${points(list)}" stroke-linejoin="round" ${paint(stroke)}/>`;
}

export function rect(
  x: number,
  y: number,
  width: number,
  height: number,
  stroke: Stroke & { readonly round?: number } = {},
): string {
  return `<rect x="${mm(x)}" y="${mm(y)}" width="${mm(width)}" height="${mm(height)}" rx="${mm(stroke.round ?? 0)}" ${paint(stroke)}/>`;
}

export function circle(at: Point, radius: number, stroke: Stroke = {}): string {
  return `<circle cx="${mm(at.x)}" cy="${mm(at.y)}" r="${mm(radius)}" ${paint(stroke)}/>`;
}

export function path(d: string, stroke: Stroke = {}): string {
  return `<path d="${d}" stroke-linecap="round" ${paint(stroke)}/>`;
}

export const dot = (at: Point, radius = 0.8): string =>
  circle(at, radius, { fill: 'black', width: 0 });

export function text(at: Point, words: string, style: TextStyle = {}): string {
  const { size = 2.8, anchor = 'start', bold = false, mono = false, turn, halo = false } = style;
  const family = mono ? "'DejaVu Sans Mono', monospace" : "'DejaVu Sans', Arial, sans-serif";
  const around = turn === undefined ? '' : ` transform="rotate(${turn} ${mm(at.x)} ${mm(at.y)})"`;
  const shine = halo ? ' stroke="white" stroke-width="0.9" paint-order="stroke"' : '';
  return `<text x="${mm(at.x)}" y="${mm(at.y)}" font-size="${mm(size)}" text-anchor="${anchor}" font-family="${family}"${bold ? ' font-weight="bold"' : ''}${shine}${around}>${escapeXml(words)}</text>`;
}

/** Several lines of text below each other. */
export function lines(at: Point, words: readonly string[], style: TextStyle = {}): string[] {
  const step = (style.size ?? 2.8) * 1.35;
  return words.map((row, i) => text({ x: at.x, y: at.y + i * step }, row, style));
}

/** An arrow from `from` to `to`, its head filled. */
export function arrow(from: Point, to: Point, stroke: Stroke = {}): string {
  const angle = Math.atan2(to.y - from.y, to.x - from.x);
  const back = (turn: number): Point => ({
    x: to.x - 2.4 * Math.cos(angle + turn),
    y: to.y - 2.4 * Math.sin(angle + turn),
  });
  const head = polygon([to, back(0.32), back(-0.32)], { fill: 'black', width: 0.1 });
  return line(from, to, { width: LINE.thin, ...stroke }) + head;
}

/** Words in the margin with a line to what they are about, which ends in a dot. */
export function callout(
  at: Point,
  words: readonly string[],
  to: Point,
  side: 'left' | 'right' = 'right',
): string {
  const anchor = side === 'right' ? 'start' : 'end';
  const gap = side === 'right' ? -1.2 : 1.2;
  return [
    line({ x: at.x + gap, y: at.y - 0.9 }, to, { width: LINE.fine }),
    dot(to, 0.6),
    ...lines(at, words, { size: 2.7, anchor }),
  ].join('');
}

/** Slanted lines across a box: material that is cut. Drawn one by one, so any renderer shows them. */
export function hatch(x: number, y: number, width: number, height: number, step = 2): string {
  const strokes: string[] = [];
  for (let start = -height + step; start < width; start += step) {
    const fromX = Math.max(0, start);
    const toX = Math.min(width, start + height);
    strokes.push(
      line(
        { x: x + fromX, y: y + height - (fromX - start) },
        { x: x + toX, y: y + height - (toX - start) },
        { width: 0.15 },
      ),
    );
  }
  return strokes.join('');
}

/** The whole sheet: frame, title, revision, and a word on where it comes from. */
export function sheet(title: string, subtitle: string, body: readonly string[]): string {
  const { width, height } = SHEET_MM;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">`,
    `<title>${escapeXml(title)}</title>`,
    rect(0, 0, width, height, { fill: 'white', width: 0, colour: 'none' }),
    rect(6, 6, width - 12, height - 12, { width: LINE.thin }),
    text({ x: 11, y: 15 }, title, { size: 5, bold: true }),
    text({ x: 11, y: 20.5 }, subtitle, { size: 2.8 }),
    text(
      { x: width - 10, y: height - 8.5 },
      `Revision ${REVISION.letter}, ${REVISION.date}. Generated from hardware/circuit. Low voltage only: 12 or 24 V DC.`,
      {
        size: 2.2,
        anchor: 'end',
      },
    ),
    ...body,
    '</svg>',
    '',
  ].join('\n');
}
