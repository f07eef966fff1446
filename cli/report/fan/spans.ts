/** Lanes of what comes once in a season: from the earliest to the latest rehearsal, with a tick at the middle one. Pure. */
import { html, type Markup } from '../html';
import { acrossOf, MARGIN, px, type View } from '../plot/axes';
import { box, type Place } from '../plot/lines';
import type { Stretch } from '../plot/model';
import type { Lane } from '../plot/stack';
import type { SpanMark } from './model';

/** Width that a character of a label takes, px: generous. */
const CHAR_PX = 6.4;
const ROW_PX = 18;
/** Between a span and its word, and between the word and whatever comes next, px. */
const GAP_PX = 6;
/** A span of one rehearsal, or of no time, is still to be seen, px. */
const LEAST_PX = 4;

interface Placed {
  readonly mark: SpanMark;
  readonly left: number;
  readonly width: number;
  readonly middle: number;
  /** Its word, cut where there is no room for all of it; and whether that stands before it. */
  readonly label: string;
  readonly isBefore: boolean;
  readonly row: number;
}

const wordPx = (label: string): number => label.length * CHAR_PX + 2 * GAP_PX;

/** Whole words, if any is whole. */
function cut(label: string, room: number): string {
  const fits = label.slice(0, Math.max(0, room - 1));
  const end = fits.lastIndexOf(' ');
  return `${end > 0 ? fits.slice(0, end) : fits}…`;
}

/** Behind a span, before it, or what of it fits on the side that has more room. */
function worded(label: string, left: number, right: number, { widthPx }: View) {
  const [before, behind] = [left, widthPx - right];
  const isBefore = wordPx(label) > behind && before > behind;
  const room = Math.floor((Math.max(behind, isBefore ? before : 0) - 2 * GAP_PX) / CHAR_PX);
  return { isBefore, label: label.length <= room ? label : cut(label, room) };
}

/** Marks in as few rows as keep them and their words apart. */
function placed(marks: readonly SpanMark[], view: View): readonly Placed[] {
  const across = acrossOf(view);
  const ends: number[] = [];
  return [...marks]
    .filter(({ least, most }) => most >= view.from && least <= view.to)
    .sort((a, b) => a.least - b.least || a.middle - b.middle)
    .map((mark) => {
      const { left, width } = box(mark.least, mark.most, view);
      const wide = Math.max(LEAST_PX, width);
      const { label, isBefore } = worded(mark.label, left, left + wide, view);
      const begin = isBefore ? left - wordPx(label) : left;
      const end = left + wide + (isBefore ? GAP_PX : wordPx(label));
      const free = ends.findIndex((taken) => taken <= begin);
      const row = free >= 0 ? free : ends.length;
      ends[row] = end;
      return { mark, left, width: wide, middle: across(mark.middle), label, isBefore, row };
    });
}

/** By all there is: the drawing keeps its height while its reader zooms. */
function rowsOf(marks: readonly SpanMark[], whole: Stretch, { widthPx }: View): number {
  return 1 + Math.max(0, ...placed(marks, { ...whole, widthPx }).map(({ row }) => row));
}

function drawMark(one: Placed, top: number, view: View): Markup {
  const { mark, left, width, middle, label, isBefore } = one;
  const y = top + ROW_PX / 2;
  const isSeen = middle >= MARGIN.left && middle <= view.widthPx - MARGIN.right;
  const tick = isSeen
    ? html`<line class="tick-mark" x1="${px(middle)}" x2="${px(middle)}" y1="${px(y - 7)}" y2="${px(y + 7)}"/>`
    : null;
  const x = isBefore ? left - GAP_PX : left + width + GAP_PX;
  const drawn = html`<title>${mark.says}</title><rect class="spread" x="${px(left)}" y="${px(y - 3)}" width="${px(width)}" height="6"/>${tick}<text x="${px(x)}" y="${px(y + 4)}" text-anchor="${isBefore ? 'end' : 'start'}">${label}</text>`;
  return mark.id === null
    ? html`<g class="span-mark">${drawn}</g>`
    : html`<a href="#${mark.id}" class="span-mark" aria-label="${mark.says}">${drawn}</a>`;
}

/** A lane, where there is anything for it. `whole`: all that could be shown. */
export function spanLanes(
  title: string,
  marks: readonly SpanMark[],
  whole: Stretch,
  view: View,
): readonly Lane[] {
  if (marks.length === 0) return [];
  const rows = rowsOf(marks, whole, view);
  return [
    {
      title,
      heightPx: rows * ROW_PX,
      draw: ({ topPx }: Place) =>
        html`${placed(marks, view).map((one) => drawMark(one, topPx + Math.min(one.row, rows - 1) * ROW_PX, view))}`,
    },
  ];
}
