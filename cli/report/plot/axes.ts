/** Scales of a plot, and the lines and labels that let them be read. Pure. */
import { type ScaleLinear, scaleLinear, scaleUtc } from 'd3-scale';
import { DAY_MS, MINUTE_MS } from '../../../shared/units/time';
import { html, type Markup } from '../html';
import type { Plot, Stretch } from './model';

export type Scale = ScaleLinear<number, number>;

/** Stretch of the plot that is shown, in minutes, and how wide that is drawn, px. */
export interface View extends Stretch {
  readonly widthPx: number;
}

/** Room for the numbers at the left, and at the right so that the last label is whole, px. */
export const MARGIN = { left: 46, right: 14 } as const;

/** One place across for all lanes. */
export const acrossOf = ({ from, to, widthPx }: View): Scale =>
  scaleLinear([from, to], [MARGIN.left, widthPx - MARGIN.right]);

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** Place of a minute on a calendar of the tray's own zone, which is read as UTC. */
const calendarMs = ({ fromUnixMs, offsetMin }: Plot, minute: number): number =>
  fromUnixMs === null ? minute * MINUTE_MS : fromUnixMs + (offsetMin + minute) * MINUTE_MS;
const minuteOfCalendar = (plot: Plot, ms: number): number => (ms - calendarMs(plot, 0)) / MINUTE_MS;

const two = (count: number): string => String(count).padStart(2, '0');

function dayText(plot: Plot, ms: number): string {
  if (plot.fromUnixMs === null) return `day ${Math.floor(ms / DAY_MS) + 1}`;
  const date = new Date(ms);
  return `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()] ?? ''}`;
}
const clockText = (ms: number): string => {
  const date = new Date(ms);
  return `${two(date.getUTCHours())}:${two(date.getUTCMinutes())}`;
};

/** `12 Mar 06:05` in the tray's own time; `day 3 06:05` while no clock was set. */
export function timeText(plot: Plot, minute: number): string {
  const ms = calendarMs(plot, minute);
  return `${dayText(plot, ms)} ${clockText(ms)}`;
}

/** Room that a label on the time axis takes, px. */
const LABEL_PX = 62;

/** Lines down through all lanes at round times. */
export function timeTicks(plot: Plot, view: View): readonly { minute: number; label: string }[] {
  const across = scaleUtc(
    [calendarMs(plot, view.from), calendarMs(plot, view.to)],
    [MARGIN.left, view.widthPx - MARGIN.right],
  );
  const count = Math.max(2, Math.floor((view.widthPx - MARGIN.left) / LABEL_PX));
  return across.ticks(count).map((date) => {
    const ms = date.getTime();
    return {
      minute: minuteOfCalendar(plot, ms),
      label: ms % DAY_MS === 0 ? dayText(plot, ms) : clockText(ms),
    };
  });
}

/** How a label stands at its line so that it is whole at both ends of the axis. */
export function anchorOf(
  x: number,
  { widthPx }: View,
  labelPx: number,
): 'start' | 'middle' | 'end' {
  if (x > widthPx - MARGIN.right - labelPx / 3) return 'end';
  return x < MARGIN.left + labelPx / 3 ? 'start' : 'middle';
}

/** About as wide as a character of a label is, and the least room between two labels, px. */
const CHARACTER_PX = 6.5;
const LABEL_GAP_PX = 8;

/** Where a label at `x` begins and ends, px. */
function extentOf(x: number, label: string, anchor: 'start' | 'middle' | 'end'): [number, number] {
  const wide = label.length * CHARACTER_PX;
  const from = x - { start: 0, middle: wide / 2, end: wide }[anchor];
  return [from, from + wide];
}

export function timeAxis(plot: Plot, view: View, topPx: number, bottomPx: number): Markup {
  const across = acrossOf(view);
  let freePx = Number.NEGATIVE_INFINITY;
  const labels = timeTicks(plot, view).map(({ minute, label }) => {
    const x = across(minute);
    const anchor = anchorOf(x, view, LABEL_PX);
    const isDay = !label.includes(':');
    const [from, to] = extentOf(x, label, anchor);
    const text =
      from >= freePx
        ? html`<text class="tick" x="${px(x)}" y="${px(bottomPx + 15)}" text-anchor="${anchor}">${label}</text>`
        : null;
    if (text !== null) freePx = to + LABEL_GAP_PX;
    return html`<line class="grid${isDay ? ' day' : ''}" x1="${px(x)}" x2="${px(x)}" y1="${px(topPx)}" y2="${px(bottomPx)}"/>${text}`;
  });
  return html`${labels}`;
}

/** A number nearer to the top of its lane would touch the title above, px. */
const TICK_CLEAR_PX = 3;

/** Lines across one lane at round values, with their numbers. */
export function valueAxis(down: Scale, view: View, count: number): Markup {
  const right = view.widthPx - MARGIN.right;
  const [, top = 0] = down.range();
  const values = down.ticks(count).filter((value) => down(value) >= top + TICK_CLEAR_PX);
  const step = Math.abs((values[1] ?? 1) - (values[0] ?? 0));
  const digits = Math.max(0, Math.ceil(-Math.log10(step)));
  return html`${values.map((value) => {
    const y = px(down(value));
    return html`<line class="grid" x1="${MARGIN.left}" x2="${px(right)}" y1="${y}" y2="${y}"/><text class="tick" x="${MARGIN.left - 5}" y="${px(down(value) + 4)}" text-anchor="end">${value.toFixed(digits)}</text>`;
  })}`;
}

/** Places to a tenth of a pixel: more would only make the page larger. */
export const px = (value: number): string => String(Math.round(value * 10) / 10);
