/** The first page: the room. Its parts have ids of their own, by which news replace them. Pure. */
import { html, type Markup } from '../../../report/html';
import type { Plot } from '../../../report/plot/model';
import { trayPath } from '../address';
import type { RoomHead } from '../shown/room';
import type { TrayLine } from '../shown/tray';
import { dayPlot } from './day-plot';
import { lineMarkup, wordMarkup } from './line';

export interface RoomShown {
  readonly title: string;
  readonly head: RoomHead;
  readonly lines: readonly TrayLine[];
  /** Of the last day, in the order of the lines; null where there is none yet. */
  readonly plots: readonly (Plot | null)[];
}

/** Parts of a page by the id of the element that each fills. */
export type Parts = Readonly<Record<string, Markup>>;

function headMarkup({ says, wanted, keeper, at }: RoomHead): Markup {
  return html`<p class="says">${says} <span class="quiet">At ${at}.</span></p>
${wanted.map(({ word, trays }) => html`<p>${wordMarkup(word)} ${trays.map((tray, i) => html`${i === 0 ? '' : ', '}<a href="${trayPath(tray)}">${tray}</a>`)}</p>`)}${keeper.map((one) => html`<p class="bad">${one}</p>`)}`;
}

/** Drawn once for each plot: it stays the same until the next reading. */
const drawn = new WeakMap<Plot, Markup>();

export function plotMarkup(plot: Plot | null, name: string): Markup {
  if (plot === null) return html`<p class="quiet">No readings yet.</p>`;
  const known = drawn.get(plot);
  if (known !== undefined) return known;
  const made = dayPlot(plot, `The last day of ${name}: ${dayInWords(plot)}`);
  drawn.set(plot, made);
  return made;
}

/** `root zone 23.1 to 25.2 °C, 3 doses`. */
function dayInWords({ rows, doses, temperatureUnit }: Plot): string {
  const roots = rows.rootZone.flatMap((value) => value ?? []);
  const low = roots.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = roots.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const count = doses.filter(({ came }) => came).length;
  const root =
    roots.length === 0
      ? 'root zone not known'
      : `root zone ${low.toFixed(1)} to ${high.toFixed(1)} ${temperatureUnit}`;
  return `${root}, ${count === 0 ? 'no dose' : count === 1 ? '1 dose' : `${count} doses`}`;
}

export function roomParts({ head, lines, plots }: RoomShown): Parts {
  const trays = lines.flatMap((line, i) => [
    [`tray-${i}`, lineMarkup(line)] as const,
    [`plot-${i}`, plotMarkup(plots[i] ?? null, line.name)] as const,
  ]);
  return { head: headMarkup(head), ...Object.fromEntries(trays) };
}

export function roomBody(shown: RoomShown): Markup {
  const parts = roomParts(shown);
  const part = (id: string): Markup => parts[id] ?? html``;
  return html`<header><h1>${shown.title}</h1><div id="head">${part('head')}</div></header>
<main id="main" class="trays">
${shown.lines.map(
  (
    _,
    i,
  ) => html`<article class="tray"><div id="tray-${i}">${part(`tray-${i}`)}</div><div id="plot-${i}">${part(`plot-${i}`)}</div></article>
`,
)}</main>`;
}
