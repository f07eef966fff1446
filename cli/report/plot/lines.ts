/** The lanes that show readings: root zone, mat, weight, dry-back. Pure. */
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { html, type Markup } from '../html';
import { acrossOf, MARGIN, px, type Scale, type View, valueAxis } from './axes';
import type { LevelStretch, Plot, RowName, Rows } from './model';
import { columnsOf, type Point, thinPoints } from './thin';

/** A lane's place, px from the top of the drawing. */
export interface Place {
  readonly topPx: number;
  readonly heightPx: number;
}

/** Columns of pixels that M4 takes together: half of what an eye tells apart on paper. */
const STEP_PX = 1.5;

/** A plot, and the stretch of it that is shown. */
export interface Seen {
  readonly plot: Plot;
  readonly view: View;
}

const rootValues = ({ plot, view }: Seen): readonly number[] => [
  ...valuesIn(plot.rows, 'rootZone', view),
  ...plot.bands.filter((band) => overlaps(band, view)).flatMap(({ low, high }) => [low, high]),
];

/** `beside`: others that the axis holds as well. */
export function rootZoneLane(
  plot: Plot,
  view: View,
  place: Place,
  beside: readonly Seen[] = [],
): Markup {
  const shown = plot.bands.filter((band) => overlaps(band, view));
  const down = downOf([{ plot, view }, ...beside].flatMap(rootValues), place, 2);
  const bands = shown.map(({ from, to, low, high, night }) => {
    const { left, width } = box(from, to, view);
    return html`<rect class="band${night ? ' night' : ''}" x="${px(left)}" y="${px(down(high))}" width="${px(width)}" height="${px(Math.max(1, down(low) - down(high)))}"/>`;
  });
  return html`${valueAxis(down, view, 4)}${bands}${isDense(view) ? swing(plot.rows, view, down) : curve(plot.rows, 'rootZone', view, down, 'root')}`;
}

export function dutyLane(plot: Plot, view: View, place: Place): Markup {
  const down = scaleLinear([0, 100], [place.topPx + place.heightPx, place.topPx]);
  return html`${valueAxis(down, view, 2)}${dutyBars(plot.rows, view, down)}`;
}

/** Width of a bar, px: wide enough that a mat's coming and going is a share of time and no flicker. */
const BAR_PX = 8;

/** Duty is a share of time, so its mean over a longer time is one as well. */
function dutyBars(rows: Rows, view: View, down: Scale): Markup {
  const across = acrossOf(view);
  const { first, last } = rowsIn(rows, view);
  const bars = new Map<number, number[]>();
  for (let i = first; i <= last; i++) {
    const value = rows.duty[i] ?? null;
    if (value === null) continue;
    const x = across(rows.minutes[i] ?? 0);
    if (x < MARGIN.left || x > view.widthPx - MARGIN.right) continue;
    const place = Math.floor((x - MARGIN.left) / BAR_PX);
    bars.set(place, [...(bars.get(place) ?? []), value]);
  }
  const base = down(0);
  const d = [...bars]
    .map(([place, values]) => {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const left = MARGIN.left + place * BAR_PX;
      const wide = Math.min(BAR_PX, view.widthPx - MARGIN.right - left);
      return `M${px(left)},${px(base)}v${px(down(mean) - base)}h${px(wide)}V${px(base)}z`;
    })
    .join('');
  return html`<path class="duty" d="${d}"/>`;
}

export function weightLane(plot: Plot, view: View, place: Place): Markup {
  // What lay on the scale before there was a tray would squeeze the crop into a line.
  const isTray = (i: number): boolean => plot.rows.dryBack[i] !== null;
  const crop = valuesIn(plot.rows, 'weight', view, isTray);
  const values = crop.length > 0 ? crop : valuesIn(plot.rows, 'weight', view);
  const down = downOf(values, place, plot.massUnit === 'g' ? 20 : 0.05);
  const across = acrossOf(view);
  const base = place.topPx + place.heightPx;
  const doses = plot.doses
    .filter(({ at }) => at >= view.from && at <= view.to)
    .map(({ at, came, label }) => {
      const x = across(at);
      const shape = `M${px(x)},${px(base - 9)}l4,8h-8z`;
      return html`<path class="dose${came ? '' : ' missed'}" d="${shape}"><title>${label}</title></path>`;
    });
  return html`${valueAxis(down, view, 3)}${curve(plot.rows, 'weight', view, down, 'weight')}${doses}`;
}

const dryBackValues = ({ plot: { rows }, view }: Seen): readonly number[] => [
  ...valuesIn(rows, 'dryBack', view),
  ...valuesIn(rows, 'rawDryBack', view),
];

export function dryBackLane(
  plot: Plot,
  view: View,
  place: Place,
  beside: readonly Seen[] = [],
): Markup {
  const { rows } = plot;
  const all = [{ plot, view }, ...beside];
  const levels = plot.levels.filter((level) => overlaps(level, view));
  const read = all.flatMap(dryBackValues);
  const highest = Math.max(0, ...read);
  // A threshold far away would flatten what the tray does.
  const near = all
    .flatMap((one) => one.plot.levels.filter((level) => overlaps(level, one.view)))
    .map(({ level }) => level)
    .filter((level) => level <= highest * 2 + 10);
  const down = downOf(
    [0, ...read.map((one) => Math.min(130, Math.max(-30, one))), ...near],
    place,
    5,
  );
  const drawn = levels
    .filter(({ level }) => near.includes(level))
    .map(({ from, to, level, what }) => {
      const { left, width } = box(from, to, view);
      const y = px(down(level));
      return html`<line class="level ${what}" x1="${px(left)}" x2="${px(left + width)}" y1="${y}" y2="${y}"><title>${LEVEL_WORDS[what]}</title></line>`;
    });
  return html`${valueAxis(down, view, 3)}${drawn}${curve(rows, 'rawDryBack', view, down, 'raw')}${curve(rows, 'dryBack', view, down, 'true')}${levelWords(
    levels.filter(({ level }) => near.includes(level)),
    view,
    down,
  )}`;
}

/** Lines of text nearer than this would lie over each other, px. */
const WORDS_APART_PX = 11;

/** The last stretch of each kind has its word, where there is room. */
function levelWords(levels: readonly LevelStretch[], view: View, down: Scale): Markup {
  const taken: number[] = [];
  return html`${LEVEL_KINDS.map((what) => {
    const last = levels.filter((one) => one.what === what).at(-1);
    if (last === undefined) return null;
    const { left, width } = box(last.from, last.to, view);
    const [, top = 0] = down.range();
    // Above its line, but never in the title of the lane.
    const lineY = down(last.level);
    const y = lineY - 3 < top + 9 ? lineY + 11 : lineY - 3;
    const isFree = taken.every((one) => Math.abs(one - y) >= WORDS_APART_PX);
    if (!isFree || width < WORDS_LEAST_PX) return null;
    taken.push(y);
    return html`<text class="level" x="${px(left + width - 2)}" y="${px(y)}" text-anchor="end">${LEVEL_WORDS[what]}</text>`;
  })}`;
}
const WORDS_LEAST_PX = 30;
const LEVEL_KINDS = ['rescue', 'start', 'stop'] as const;

const LEVEL_WORDS = { start: 'water', stop: 'until', rescue: 'too dry' } as const;

const overlaps = (a: { from: number; to: number }, b: { from: number; to: number }): boolean =>
  a.from <= b.to && b.from <= a.to;

/** A stretch of time across, cut off at the edges of the view. */
export function box(from: number, to: number, view: View): { left: number; width: number } {
  const across = acrossOf(view);
  const left = across(Math.max(from, view.from));
  return { left, width: Math.max(0, across(Math.min(to, view.to)) - left) };
}

/** Values of a column that the view shows, with the rows beside it so that lines reach its edges. */
function valuesIn(
  rows: Rows,
  name: RowName,
  view: View,
  only: (i: number) => boolean = () => true,
): readonly number[] {
  const { first, last } = rowsIn(rows, view);
  const values: number[] = [];
  for (let i = first; i <= last; i++) {
    const value = rows[name][i] ?? null;
    if (value !== null && only(i)) values.push(value);
  }
  return values;
}

function rowsIn({ minutes }: Rows, { from, to }: View): { first: number; last: number } {
  let first = minutes.findIndex((minute) => minute >= from);
  if (first < 0) first = minutes.length;
  let last = minutes.findIndex((minute) => minute > to);
  if (last < 0) last = minutes.length - 1;
  return { first: Math.max(0, first - 1), last };
}

/** Room above and below the line, as a share of its height. */
const EDGE_SHARE = 0.08;

/** A scale down for `values`, never narrower than `least`. */
export function downOf(
  values: readonly number[],
  { topPx, heightPx }: Place,
  least: number,
): Scale {
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const [bottom, top] = low <= high ? [low, high] : [0, least];
  const spare = Math.max(least - (top - bottom), EDGE_SHARE * (top - bottom)) / 2;
  return scaleLinear([bottom - spare, top + spare], [topPx + heightPx, topPx]);
}

const draw = line<Point>()
  .x(({ x }) => x)
  .y(({ y }) => y)
  .digits(1);

/** The points of a column that the view shows, a run for each stretch without a break. */
function runsOf(rows: Rows, name: RowName, view: View, down: Scale): readonly (readonly Point[])[] {
  const across = acrossOf(view);
  const { first, last } = rowsIn(rows, view);
  const runs: Point[][] = [[]];
  for (let i = first; i <= last; i++) {
    const value = rows[name][i] ?? null;
    if (value === null) runs.push([]);
    else runs.at(-1)?.push({ x: across(rows.minutes[i] ?? 0), y: down(value) });
  }
  return runs.filter((run) => run.length > 0).map((run) => within(run, view));
}

function curve(rows: Rows, name: RowName, view: View, down: Scale, kind: string): Markup {
  const d = runsOf(rows, name, view, down)
    .map((run) => draw([...thinPoints(run, STEP_PX)]) ?? '')
    .join('');
  return html`<path class="line ${kind}" d="${d}"/>`;
}

/** A mat comes and goes every hour or two: with more time than this in a column, a line would fill its band, minutes. */
const DENSE_MIN = 60;
/** Columns in which the mean and both ends of the swing are taken, px: a few hours of a month. */
const SWING_PX = 4;

/** Whether so much time is shown that the root zone is drawn by its mean, and by how far it swung. */
export const isDense = ({ from, to, widthPx }: View): boolean =>
  ((to - from) * SWING_PX) / (widthPx - MARGIN.left - MARGIN.right) > DENSE_MIN;

/** The mean of the root zone as a line, and from its coldest to its warmest as a surface: no peak is lost. */
function swing(rows: Rows, view: View, down: Scale): Markup {
  const runs = runsOf(rows, 'rootZone', view, down).map((run) => columnsOf(run, SWING_PX));
  const drawn = runs.map((columns) => ({
    mean: columns.map(meanOf),
    edges: [...columns.map(lowestOf), ...columns.map(highestOf).reverse()],
  }));
  const path = (points: readonly Point[]): string => draw([...points]) ?? '';
  return html`<path class="swing" d="${drawn.map(({ edges }) => `${path(edges)}z`).join('')}"/><path class="line mean" d="${drawn.map(({ mean }) => path(mean)).join('')}"/>`;
}

const meanOf = (points: readonly Point[]): Point => ({
  x: meanBy(points, ({ x }) => x),
  y: meanBy(points, ({ y }) => y),
});
const meanBy = (points: readonly Point[], of: (point: Point) => number): number =>
  points.reduce((sum, point) => sum + of(point), 0) / points.length;
const lowestOf = (points: readonly Point[]): Point => ({
  x: meanOf(points).x,
  y: Math.max(...points.map(({ y }) => y)),
});
const highestOf = (points: readonly Point[]): Point => ({
  x: meanOf(points).x,
  y: Math.min(...points.map(({ y }) => y)),
});

/** The points of a run between the edges of the view; where it goes on beyond one, it ends there. */
function within(run: readonly Point[], { widthPx }: View): readonly Point[] {
  const edges = [MARGIN.left, widthPx - MARGIN.right];
  const ends = run.slice(1).flatMap((point, i) => {
    const before = run[i] ?? point;
    return edges
      .filter((edge) => before.x < edge && point.x > edge)
      .map((x) => ({
        x,
        y: before.y + ((point.y - before.y) * (x - before.x)) / (point.x - before.x),
      }));
  });
  const [left = 0, right = 0] = edges;
  return [...run, ...ends].filter(({ x }) => x >= left && x <= right).sort((a, b) => a.x - b.x);
}

/** The values of the row next to a minute, for whoever points at it. */
export function rowAt(rows: Rows, minute: number): number | null {
  const after = rows.minutes.findIndex((one) => one >= minute);
  const at = after < 0 ? rows.minutes.length - 1 : after;
  const before = at - 1;
  const near =
    before >= 0 && minute - (rows.minutes[before] ?? 0) < (rows.minutes[at] ?? 0) - minute
      ? before
      : at;
  const distance = Math.abs((rows.minutes[near] ?? Number.NaN) - minute);
  return distance <= NEAR_MIN ? near : null;
}
/** A reading further away than this says nothing of the place pointed at. */
const NEAR_MIN = 15;
