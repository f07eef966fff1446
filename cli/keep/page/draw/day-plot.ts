/** The last day of a tray, small enough that fifty of them are one page: root zone in its band, weight with its doses. Pure. */
import { type ScaleLinear, scaleLinear } from 'd3-scale';
import { html, type Markup } from '../../../report/html';
import { timeTicks } from '../../../report/plot/axes';
import type { Plot, Values } from '../../../report/plot/model';
import { columnsOf, type Point } from '../../../report/plot/thin';

type Scale = ScaleLinear<number, number>;

const WIDTH_PX = 328;
const LEFT_PX = 34;
const ROOT = { topPx: 16, heightPx: 54 } as const;
const WEIGHT = { topPx: 92, heightPx: 34 } as const;
const BOTTOM_PX = WEIGHT.topPx + WEIGHT.heightPx;
const HEIGHT_PX = BOTTOM_PX + 16;
/** Columns in which only the lowest and the highest are drawn, px. */
const STEP_PX = 4;
/** A root zone that is held to a tenth of a kelvin looks quiet, and a tray that dries by a few grams. */
const ROOT_SPAN = 3;
const WEIGHT_SPAN = 60;

/** The drawing. What it says is said in words too: `label`. */
export function dayPlot(plot: Plot, label: string): Markup {
  const view = { from: 0, to: plot.lengthMin, widthPx: WIDTH_PX };
  const across = scaleLinear([0, plot.lengthMin], [LEFT_PX, WIDTH_PX - 2]);
  const ticks = timeTicks(plot, view).filter(({ minute }) => across(minute) > LEFT_PX);
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot day" viewBox="0 0 ${WIDTH_PX} ${HEIGHT_PX}" role="img" aria-label="${label}">${ticks.map(
    ({ minute, label: time }) => {
      const x = Math.round(across(minute));
      return html`<path class="grid" d="M${x},${ROOT.topPx}V${BOTTOM_PX}"/><text class="tick" x="${Math.min(x, WIDTH_PX - 18)}" y="${HEIGHT_PX - 3}" text-anchor="middle">${time}</text>`;
    },
  )}${rootLane(plot, across)}${weightLane(plot, across)}</svg>`;
}

const numbers = (values: Values): readonly number[] => values.flatMap((value) => value ?? []);

/** From the highest at the top to the lowest, over `least` units at least. */
function downOf(
  values: readonly number[],
  lane: typeof ROOT | typeof WEIGHT,
  least: number,
): Scale {
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const wider = Math.max(0, least - (high - low)) / 2;
  return scaleLinear([low - wider, high + wider], [lane.topPx + lane.heightPx, lane.topPx]);
}

const valueText = (x: number, y: number, text: string): Markup =>
  html`<text class="tick" x="${x}" y="${Math.round(y + 4)}" text-anchor="end">${text}</text>`;

function rootLane({ rows, bands, temperatureUnit }: Plot, across: Scale): Markup {
  const values = [...numbers(rows.rootZone), ...bands.flatMap(({ low, high }) => [low, high])];
  const title = html`<text class="title" x="0" y="11">Root zone, ${temperatureUnit}</text>`;
  if (values.length === 0) return title;
  const down = downOf(values, ROOT, ROOT_SPAN);
  const drawn = bands.map(({ from, to, low, high, night }) => {
    const x = Math.round(across(from));
    return html`<rect class="band${night ? ' night' : ''}" x="${x}" y="${Math.round(down(high))}" width="${Math.max(1, Math.round(across(to)) - x)}" height="${Math.max(2, Math.round(down(low) - down(high)))}"/>`;
  });
  const [low = 0, high = 0] = down.domain();
  return html`${title}${drawn}<path class="line root" d="${curve(rows.minutes, rows.rootZone, across, down)}"/>${valueText(LEFT_PX - 4, down(high) + 4, high.toFixed(0))}${valueText(LEFT_PX - 4, down(low) - 4, low.toFixed(0))}`;
}

function weightLane({ rows, doses, massUnit }: Plot, across: Scale): Markup {
  // What lay on the scale while no tray stood there would squeeze the tray into a line.
  const trays = rows.weight.map((value, i) => (rows.dryBack[i] === null ? null : value));
  const weights = numbers(trays).length > 0 ? trays : rows.weight;
  const title = html`<text class="title" x="0" y="${WEIGHT.topPx - 5}">Weight, ${massUnit}${doses.length > 0 ? '; doses' : ''}</text>`;
  const values = numbers(weights);
  if (values.length === 0) return title;
  const isUs = massUnit !== 'g';
  const down = downOf(values, WEIGHT, isUs ? WEIGHT_SPAN / 450 : WEIGHT_SPAN);
  const [low = 0, high = 0] = down.domain();
  const marks = doses.map(({ at, came }) => {
    const x = Math.round(across(at));
    return html`<path class="dose${came ? '' : ' missed'}" d="M${x},${BOTTOM_PX - 9}l4,8h-8z"/>`;
  });
  const shown = (value: number): string => value.toFixed(isUs ? 1 : 0);
  return html`${title}<path class="line weight" d="${curve(rows.minutes, weights, across, down)}"/>${marks}${valueText(LEFT_PX - 4, down(high) + 4, shown(high))}${valueText(LEFT_PX - 4, down(low) - 4, shown(low))}`;
}

/** A line in whole pixels, each step from the one before; it breaks where a value is missing. */
function curve(minutes: readonly number[], values: Values, across: Scale, down: Scale): string {
  const runs: Point[][] = [[]];
  for (const [i, value] of values.entries()) {
    if (value === null) runs.push([]);
    else runs.at(-1)?.push({ x: across(minutes[i] ?? 0), y: down(value) });
  }
  return runs.map((run) => steps(run.length < 2 ? [] : thinned(run))).join('');
}

/** Of each column the lowest and the highest in their order; of the ends the points themselves. */
function thinned(run: readonly Point[]): readonly Point[] {
  const inside = columnsOf(run, STEP_PX).flatMap((column) => {
    const [first] = column;
    if (first === undefined) return [];
    const low = column.reduce((a, b) => (b.y < a.y ? b : a), first);
    const high = column.reduce((a, b) => (b.y > a.y ? b : a), first);
    return low.x <= high.x ? [low, high] : [high, low];
  });
  return [...run.slice(0, 1), ...inside, ...run.slice(-1)];
}

function steps(points: readonly Point[]): string {
  let before: Point | null = null;
  const parts: string[] = [];
  for (const { x, y } of points) {
    const at = { x: Math.round(x), y: Math.round(y) };
    if (before === null) parts.push(`M${at.x},${at.y}`);
    else if (at.x !== before.x || at.y !== before.y) {
      const by = at.y - before.y;
      parts.push(`l${at.x - before.x}${by < 0 ? by : `,${by}`}`);
    }
    before = at;
  }
  return parts.join('');
}
