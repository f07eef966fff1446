/**
 * The plot as SVG: all lanes over one axis of time. The same code draws what is printed and mailed, and in the page
 * any other stretch of it. Colours and dashes are the page's style. Pure.
 */
import { html, type Markup } from '../html';
import { MARGIN, px, timeAxis, type View } from './axes';
import { dryBackLane, dutyLane, type Place, rootZoneLane, weightLane } from './lines';
import type { Plot } from './model';
import { blanksOver, eventsHeightPx, eventsLane, marksLane, ribbonLane } from './ribbons';

interface Lane {
  readonly title: string;
  readonly heightPx: number;
  readonly draw: (place: Place) => Markup;
  /** Lines that need a word: their kind in the style, and the word. */
  readonly legend?: readonly (readonly [kind: string, word: string])[];
}

const TITLE_PX = 21;
const GAP_PX = 9;
const AXIS_PX = 22;

/** Lanes that have something to show, from the top. */
function lanesOf(plot: Plot, view: View): readonly Lane[] {
  const { incidents, alarms, temperatureUnit, massUnit } = plot;
  const events = (title: string, marks: Plot['alarms']): readonly Lane[] =>
    marks.length === 0
      ? []
      : [
          {
            title,
            heightPx: eventsHeightPx(plot, marks, view),
            draw: (place) => eventsLane(marks, view, place),
          },
        ];
  return [
    ...events('What went wrong', incidents),
    ...events('Alarms', alarms),
    { title: 'Marked', heightPx: 16, draw: (place) => marksLane(plot, view, place) },
    {
      title: 'Stage',
      heightPx: 19,
      draw: (place) => ribbonLane(plot.stages, view, place, 'stage'),
    },
    {
      title: 'Lid: as marked, else as the stage wants it',
      heightPx: 19,
      draw: (place) => ribbonLane(plot.lids, view, place, 'lid'),
    },
    {
      title: `Root zone, ${temperatureUnit}`,
      heightPx: 150,
      legend: [
        ['band', 'band'],
        ['band night', 'night band'],
      ],
      draw: (place) => rootZoneLane(plot, view, place),
    },
    { title: 'Mat on, % of the time', heightPx: 46, draw: (place) => dutyLane(plot, view, place) },
    {
      title: `Weight on the scale, ${massUnit}`,
      heightPx: 110,
      legend: [
        ['dose', 'dose'],
        ['dose missed', 'did not come'],
      ],
      draw: (place) => weightLane(plot, view, place),
    },
    {
      title: 'Dry-back, %',
      heightPx: 120,
      legend: [
        ['line true', 'without plants'],
        ['line raw', 'scale alone'],
      ],
      draw: (place) => dryBackLane(plot, view, place),
    },
  ];
}

/** The drawing. `name` tells several on one page apart. */
export function drawPlot(plot: Plot, view: View, name = 'plot'): Markup {
  let y = 0;
  const placed = lanesOf(plot, view).map((lane) => {
    const titleY = y + TITLE_PX - 8;
    const place = { topPx: y + TITLE_PX, heightPx: lane.heightPx };
    y = place.topPx + lane.heightPx + GAP_PX;
    return { lane, place, titleY };
  });
  const bottom = y;
  const clip = `${name}-clip`;
  const hatch = `${name}-hatch`;
  const lanes = placed.map(({ lane, place, titleY }, i) => {
    const { topPx, heightPx } = place;
    const id = `${clip}-${i}`;
    return html`<g class="lane"><text class="title" x="0" y="${px(titleY)}">${lane.title}</text>${legendOf(lane, view, titleY)}<clipPath id="${id}"><rect x="0" y="${px(topPx - 4)}" width="${px(view.widthPx)}" height="${px(heightPx + 8)}"/></clipPath><g clip-path="url(#${id})">${lane.draw(place)}</g></g>`;
  });
  const whole: Place = { topPx: TITLE_PX, heightPx: bottom - TITLE_PX };
  const height = bottom + AXIS_PX;
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${px(view.widthPx)} ${px(height)}" role="group" aria-label="Plots of the readings on one axis of time"><defs><pattern id="${hatch}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" x2="0" y1="0" y2="6"/></pattern></defs>${timeAxis(plot, view, TITLE_PX, bottom)}${blanksOver(plot, view, whole, hatch)}${lanes}${cursorIn(whole)}</svg>`;
}

/** Shown by whoever lets a reader point at a time. */
const cursorIn = ({ topPx, heightPx }: Place): Markup =>
  html`<line class="cursor" visibility="hidden" x1="0" x2="0" y1="${topPx}" y2="${px(topPx + heightPx)}"/>`;

const LEGEND_CHAR_PX = 6.2;

/** Samples at the right of a lane's title, as many as there is room for. */
function legendOf({ legend = [], title }: Lane, view: View, y: number): Markup {
  let right = view.widthPx - MARGIN.right;
  const room = title.length * 7 + 8;
  const drawn: Markup[] = [];
  for (const [kind, word] of [...legend].reverse()) {
    const wide = word.length * LEGEND_CHAR_PX + 26;
    if (right - wide < room) break;
    right -= wide;
    drawn.push(
      html`${sample(kind, right, y)}<text class="legend" x="${px(right + 20)}" y="${px(y)}">${word}</text>`,
    );
  }
  return html`${drawn}`;
}

function sample(kind: string, x: number, y: number): Markup {
  if (kind.startsWith('band'))
    return html`<rect class="${kind}" x="${px(x)}" y="${px(y - 9)}" width="16" height="9"/>`;
  if (kind.startsWith('dose'))
    return html`<path class="${kind}" d="M${px(x + 10)},${px(y - 9)}l4,8h-8z"/>`;
  return html`<path class="${kind}" d="M${px(x)},${px(y - 4)}h16"/>`;
}
