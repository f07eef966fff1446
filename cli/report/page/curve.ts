/** What came up, as a curve over the days since sowing: a straight line from count to count, from nothing at sowing. Pure. */
import { scaleLinear } from 'd3-scale';
import { html, type Markup } from '../html';
import type { CurvePoint } from '../model';
import { acrossOf, px, valueAxis } from '../plot/axes';

const WIDTH_PX = 920;
const HEIGHT_PX = 150;
/** Room for the title above, and for the days below, px. */
const TOP_PX = 22;
const AXIS_PX = 20;
const DAY_TICKS = 12;

/** The drawing; nothing where there is no point. Days from 0, shares 0 to 1. */
export function curveMarkup(title: string, points: readonly CurvePoint[]): Markup | null {
  const lastDay = Math.max(...points.map(({ day }) => day));
  if (!(lastDay > 0)) return null;
  const view = { from: 0, to: lastDay, widthPx: WIDTH_PX };
  const across = acrossOf(view);
  const bottom = TOP_PX + HEIGHT_PX;
  // A little more than all, so that the line of 100 % is not the edge.
  const down = scaleLinear([0, 105], [bottom, TOP_PX]);
  const places = points.map(({ day, share }) => [px(across(day)), px(down(share * 100))] as const);
  // One count alone tells nothing of the way to it.
  const line =
    places.length > 1
      ? html`<path class="line weight" d="M${px(across(0))},${px(down(0))}${places.map(([x, y]) => `L${x},${y}`).join('')}"/>`
      : null;
  const days = across
    .ticks(DAY_TICKS)
    .filter(Number.isInteger)
    .map(
      (day) =>
        html`<text class="tick" x="${px(across(day))}" y="${bottom + AXIS_PX - 5}" text-anchor="middle">${day}</text>`,
    );
  const dots = places.map(
    ([x, y], i) =>
      html`<circle class="dose" r="3" cx="${x}" cy="${y}"><title>${points[i]?.label ?? ''}</title></circle>`,
  );
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${WIDTH_PX} ${bottom + AXIS_PX}" role="img" aria-label="${title}, by days since sowing"><text class="title" x="0" y="13">Standing, % of the seed, by days since sowing</text>${valueAxis(down, view, 4)}${days}${line}${dots}</svg>`;
}
