/** Lanes below each other over one axis, each with its title and what its lines mean. Pure. */
import { html, type Markup } from '../html';
import { MARGIN, px, type View } from './axes';
import type { Place } from './lines';

/** Lines that need a word: their kind in the style, and the word. */
export type Legend = readonly (readonly [kind: string, word: string])[];

export interface Lane {
  readonly title: string;
  readonly heightPx: number;
  readonly draw: (place: Place) => Markup;
  readonly legend?: Legend;
}

export interface Stacked {
  readonly inside: Markup;
  /** From the first lane to the end of the last one. */
  readonly whole: Place;
  /** With the labels of the axis. */
  readonly heightPx: number;
}

const TITLE_PX = 21;
const GAP_PX = 9;
const AXIS_PX = 22;

/** The lanes in their places. `name` tells several drawings in one file apart; `behind` is drawn before all lanes. */
export function stack(
  lanes: readonly Lane[],
  view: View,
  name: string,
  behind: (whole: Place) => Markup,
): Stacked {
  let y = 0;
  const placed = lanes.map((lane) => {
    const titleY = y + TITLE_PX - 8;
    const place = { topPx: y + TITLE_PX, heightPx: lane.heightPx };
    y = place.topPx + lane.heightPx + GAP_PX;
    return { lane, place, titleY };
  });
  const drawn = placed.map(({ lane, place, titleY }, i) => {
    const { topPx, heightPx } = place;
    const id = `${name}-clip-${i}`;
    return html`<g class="lane"><text class="title" x="0" y="${px(titleY)}">${lane.title}</text>${legendOf(lane, view, titleY)}<clipPath id="${id}"><rect x="0" y="${px(topPx - 4)}" width="${px(view.widthPx)}" height="${px(heightPx + 8)}"/></clipPath><g clip-path="url(#${id})">${lane.draw(place)}</g></g>`;
  });
  const whole = { topPx: TITLE_PX, heightPx: y - TITLE_PX };
  return { inside: html`${hatch(name)}${behind(whole)}${drawn}`, whole, heightPx: y + AXIS_PX };
}

/** What times are covered with of which nothing is known. */
export const hatchId = (name: string): string => `${name}-hatch`;
const hatch = (name: string): Markup =>
  html`<defs><pattern id="${hatchId(name)}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" x2="0" y1="0" y2="6"/></pattern></defs>`;

const LEGEND_CHAR_PX = 6.2;

/** Samples at the right of a lane's title, as many as there is room for. */
function legendOf({ legend = [], title }: Lane, view: View, y: number): Markup {
  let right = view.widthPx - MARGIN.right;
  const room = title.length * 7 + 8;
  const drawn: Markup[] = [];
  for (const [kind, word] of [...legend].reverse()) {
    const wide = word.length * LEGEND_CHAR_PX + 32;
    if (right - wide < room) break;
    right -= wide;
    drawn.push(
      html`${sample(kind, right, y)}<text class="legend" x="${px(right + 20)}" y="${px(y)}">${word}</text>`,
    );
  }
  return html`${drawn}`;
}

/** Kinds that fill a surface. */
const SURFACES = ['band', 'swing', 'fan'];

function sample(kind: string, x: number, y: number): Markup {
  if (SURFACES.some((one) => kind.startsWith(one)))
    return html`<rect class="${kind}" x="${px(x)}" y="${px(y - 9)}" width="16" height="9"/>`;
  if (kind.startsWith('dose'))
    return html`<path class="${kind}" d="M${px(x + 10)},${px(y - 9)}l4,8h-8z"/>`;
  return html`<path class="${kind}" d="M${px(x)},${px(y - 4)}h16"/>`;
}
