/** The lanes that show stretches of time: incidents, alarms, stages, lids, and what the grower marked. Pure. */
import { html, type Markup } from '../html';
import { acrossOf, px, type View } from './axes';
import { box, type Place } from './lines';
import type { EventMark, Labelled, Plot, Stretch } from './model';

/** Least a mark is wide, so that a finger finds it, px. */
const MARK_PX = 18;
/** Width that a character of a label takes, px: generous. */
const CHAR_PX = 6.4;

interface Placed {
  readonly mark: EventMark;
  readonly left: number;
  readonly width: number;
  readonly row: number;
  /** Marks of the same thing that would lie over each other here. */
  readonly count: number;
}

/** Marks in as few rows as keep them apart; one of the same thing that would touch is taken with it. */
function packed(marks: readonly EventMark[], view: View, rowsMost: number): readonly Placed[] {
  const placed: { mark: EventMark; left: number; width: number; row: number; count: number }[] = [];
  const ends: number[] = [];
  for (const mark of [...marks].sort((a, b) => a.from - b.from)) {
    if (mark.to < view.from || mark.from > view.to) continue;
    const { left, width } = box(mark.from, mark.to, view);
    const same = placed.filter((one) => one.mark.id === mark.id).at(-1);
    if (same !== undefined && left < same.left + Math.max(MARK_PX, same.width)) {
      same.width = Math.max(same.width, left + width - same.left);
      same.count += 1;
      ends[same.row] = Math.max(ends[same.row] ?? 0, same.left + Math.max(MARK_PX, same.width));
      continue;
    }
    const free = ends.findIndex((end) => end <= left);
    const row = free >= 0 ? free : Math.min(ends.length, rowsMost - 1);
    ends[row] = left + Math.max(MARK_PX, width) + 2;
    placed.push({ mark, left, width, row, count: 1 });
  }
  return placed;
}

const ROW_PX = 20;
const ROWS_MOST = 3;
/** Room for as many rows as the whole time needs: the drawing keeps its height while its reader zooms. */
export function eventsHeightPx(
  marks: readonly EventMark[],
  whole: Stretch,
  { widthPx }: View,
): number {
  const placed = packed(marks, { ...whole, widthPx }, ROWS_MOST);
  return ROW_PX * (1 + Math.max(0, ...placed.map(({ row }) => row)));
}

/** Incidents with their numbers, or alarms with a sign; `linked`: each leads to its explanation. */
export function eventsLane(
  marks: readonly EventMark[],
  view: View,
  place: Place,
  linked: boolean,
): Markup {
  return html`${packed(marks, view, ROWS_MOST).map(({ mark, left, width, row, count }) => {
    const top = place.topPx + row * ROW_PX;
    const { id, label, number, grave } = mark;
    const kind = number === null ? 'alarm' : 'incident';
    const wide = Math.max(MARK_PX, width);
    const times = count > 1 ? ` (${count} times)` : '';
    const sign = number === null ? '!' : String(number);
    // What is heard begins with what is seen, so that it can be asked for by voice (WCAG 2.5.3).
    const name = `${sign} ${label}${times}`;
    const kinds = `mark ${kind}${grave ? ' grave' : ''}`;
    const drawn = html`<title>${label + times}</title><rect class="span" x="${px(left)}" y="${px(top + 7)}" width="${px(wide)}" height="4"/><circle cx="${px(left + MARK_PX / 2)}" cy="${px(top + 9)}" r="9"/><text x="${px(left + MARK_PX / 2)}" y="${px(top + 13)}" text-anchor="middle">${sign}</text>`;
    return linked
      ? html`<a href="#${id}" class="${kinds}" aria-label="${name}">${drawn}</a>`
      : html`<g class="${kinds}">${drawn}</g>`;
  })}`;
}

/** A name cut off, or where that would say nothing, its number. */
function shortened(label: string, room: number): string {
  if (room >= 5) return `${label.slice(0, room - 1)}…`;
  const [number = ''] = /^\d+/.exec(label) ?? [];
  return number.length <= room ? number : '';
}

/** A ribbon of named stretches; a name that does not fit is told by pointing at it. */
export function ribbonLane(
  list: readonly Labelled[],
  view: View,
  place: Place,
  kind: string,
): Markup {
  return html`${list
    .filter(({ from, to }) => to >= view.from && from <= view.to)
    .map(({ from, to, label }, i) => {
      const { left, width } = box(from, to, view);
      const room = Math.floor((width - 6) / CHAR_PX);
      const text = label.length <= room ? label : shortened(label, room);
      return html`<g><title>${label}</title><rect class="${kind}${i % 2 === 0 ? '' : ' odd'}" x="${px(left)}" y="${px(place.topPx)}" width="${px(width)}" height="${px(place.heightPx)}"/><text class="ribbon" x="${px(left + 4)}" y="${px(place.topPx + place.heightPx - 5)}">${text}</text></g>`;
    })}`;
}

/** Flags nearer than this stand on one stick, px. */
const ONE_STICK_PX = 5;

/** Where flags stand, and what each says: those that would stand in one another are told together. */
function flagsOf({ marks }: Plot, view: View): readonly { x: number; says: readonly string[] }[] {
  const across = acrossOf(view);
  const flags: { x: number; says: string[] }[] = [];
  for (const { at, label } of marks.filter(({ at }) => at >= view.from && at <= view.to)) {
    const x = across(at);
    const last = flags.at(-1);
    if (last === undefined || x - last.x > ONE_STICK_PX) flags.push({ x, says: [label] });
    else if (!last.says.includes(label)) last.says.push(label);
  }
  return flags;
}

const FLAG_PX = 16;
const FLAG_ROWS = 2;
/** Room for the flags. */
export const FLAGS_HEIGHT_PX = FLAG_PX * FLAG_ROWS;

/** The text of a flag where there is room for it: `row` of the lane, and which side of its stick. */
interface FlagText {
  readonly text: string;
  readonly row: number;
  readonly toLeft: boolean;
}

/** All that a flag says or only the first word of it, in whatever row is free; `freeFrom` is moved on. */
function placeFlag(
  x: number,
  says: readonly string[],
  { widthPx }: View,
  freeFrom: number[],
): FlagText | null {
  for (const text of [says.join(', '), ...says.slice(0, 1)]) {
    const wide = text.length * CHAR_PX + 8;
    const toLeft = x + wide > widthPx;
    const begin = toLeft ? x - wide : x;
    const row = freeFrom.findIndex((from) => begin >= from);
    if (row < 0) continue;
    freeFrom[row] = begin + wide;
    return { text, row, toLeft };
  }
  return null;
}

/** What the grower marked, as little flags; one that would lie over others keeps its line alone. */
export function marksLane(plot: Plot, view: View, { topPx }: Place): Markup {
  const freeFrom: number[] = new Array(FLAG_ROWS).fill(Number.NEGATIVE_INFINITY);
  return html`${flagsOf(plot, view).map(({ x, says }) => {
    const flag = placeFlag(x, says, view, freeFrom);
    const top = topPx + (flag?.row ?? FLAG_ROWS - 1) * FLAG_PX;
    const text =
      flag === null
        ? null
        : html`<text class="ribbon" x="${px(flag.toLeft ? x - 4 : x + 4)}" y="${px(top + FLAG_PX - 4)}" text-anchor="${flag.toLeft ? 'end' : 'start'}">${flag.text}</text>`;
    return html`<g><title>marked ${says.join(', ')}</title><line class="flag" x1="${px(x)}" x2="${px(x)}" y1="${px(top)}" y2="${px(top + FLAG_PX)}"/>${text}</g>`;
  })}`;
}

/** Times of which nothing is known, through all lanes. */
export function blanksOver({ blanks }: Plot, view: View, place: Place, hatchId: string): Markup {
  return html`${blanks
    .filter(({ from, to }) => to >= view.from && from <= view.to)
    .map(({ from, to, label }) => {
      const { left, width } = box(from, to, view);
      return html`<rect class="blank" fill="url(#${hatchId})" x="${px(left)}" y="${px(place.topPx)}" width="${px(Math.max(1, width))}" height="${px(place.heightPx)}"><title>${label}</title></rect>`;
    })}`;
}
