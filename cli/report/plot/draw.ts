/**
 * The plot as SVG: all lanes over one axis of time. The same code draws what is printed and mailed, and in the page
 * any other stretch of it. Colours and dashes are a style. Pure.
 */
import { html, type Markup } from '../html';
import { px, timeAxis, type View } from './axes';
import {
  dryBackLane,
  dutyLane,
  isDense,
  type Place,
  rootZoneLane,
  type Seen,
  weightLane,
} from './lines';
import type { Plot, Stretch } from './model';
import {
  blanksOver,
  eventsHeightPx,
  eventsLane,
  FLAGS_HEIGHT_PX,
  marksLane,
  ribbonLane,
} from './ribbons';
import { hatchId, type Lane, type Legend, stack } from './stack';

/** How a drawing stands where it is put. */
export interface Setting {
  /** Tells several in one file apart. */
  readonly name: string;
  /** Its marks lead to their explanation in the same page. */
  readonly linked: boolean;
}
const IN_PAGE: Setting = { name: 'plot', linked: true };

/** The drawing, as a page has it. */
export function drawPlot(plot: Plot, view: View, setting = IN_PAGE): Markup {
  const { inside, heightPx } = drawLanes(plot, view, setting);
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${px(view.widthPx)} ${px(heightPx)}" role="group" aria-label="Plots of the readings on one axis of time">${inside}</svg>`;
}

/** What is in it, and how high that is. */
export function drawLanes(
  plot: Plot,
  view: View,
  { name, linked }: Setting,
): { readonly inside: Markup; readonly heightPx: number } {
  const lanes = [
    ...eventLanes(plot, view, { whole: { from: 0, to: plot.lengthMin }, linked }),
    ...toldLanes(plot, view),
    ...readLanes(plot, view),
  ];
  const { inside, whole, heightPx } = stack(
    lanes,
    view,
    name,
    (place) =>
      html`${timeAxis(plot, view, place.topPx, place.topPx + place.heightPx)}${blanksOver(plot, view, place, hatchId(name))}`,
  );
  return { inside: html`${inside}${cursorIn(whole)}`, heightPx };
}

/** Shown by whoever lets a reader point at a time. */
export const cursorIn = ({ topPx, heightPx }: Place): Markup =>
  html`<line class="cursor" visibility="hidden" x1="0" x2="0" y1="${topPx}" y2="${px(topPx + heightPx)}"/>`;

/** What went wrong, where anything did. `whole`: all that could be shown, by which the lanes keep their height. */
export function eventLanes(
  plot: Plot,
  view: View,
  { whole, linked }: { readonly whole: Stretch; readonly linked: boolean },
): readonly Lane[] {
  const events = (title: string, marks: Plot['alarms']): readonly Lane[] =>
    marks.length === 0
      ? []
      : [
          {
            title,
            heightPx: eventsHeightPx(marks, whole, view),
            draw: (place) => eventsLane(marks, view, place, linked),
          },
        ];
  return [...events('What went wrong', plot.incidents), ...events('Alarms', plot.alarms)];
}

/** What the grower marked, and what the profile said then. */
export const toldLanes = (plot: Plot, view: View): readonly Lane[] => [
  { title: 'Marked', heightPx: FLAGS_HEIGHT_PX, draw: (place) => marksLane(plot, view, place) },
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
];

const MEAN_LEGEND: Legend = [
  ['line mean', 'mean'],
  ['swing', 'swing'],
];
const NIGHT_LEGEND: Legend = [['band night', 'night band']];

/** What was read. `beside`: another plot whose values the axes hold as well, so that both can be compared. */
export const readLanes = (
  plot: Plot,
  view: View,
  beside: readonly Seen[] = [],
): readonly Lane[] => [
  {
    title: `Root zone, ${plot.temperatureUnit}`,
    heightPx: 150,
    legend: [
      ...(isDense(view) ? MEAN_LEGEND : []),
      ['band', 'band'],
      ...(plot.bands.some(({ night }) => night) ? NIGHT_LEGEND : []),
    ],
    draw: (place) => rootZoneLane(plot, view, place, beside),
  },
  { title: 'Mat on, % of the time', heightPx: 46, draw: (place) => dutyLane(plot, view, place) },
  {
    title: `Weight on the scale, ${plot.massUnit}`,
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
    draw: (place) => dryBackLane(plot, view, place, beside),
  },
];
