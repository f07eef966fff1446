/** The page of one tray: what stands and what to do, what can be told, how it went. Pure. */
import { DAY_MIN } from '../../../../shared/units/time';
import { html, type Markup } from '../../../report/html';
import type { Report } from '../../../report/model';
import { answersMarkup } from '../../../report/page/page';
import { alarmStories, incidentStories } from '../../../report/page/stories';
import { withCode } from '../../../report/page/words';
import { drawPlot } from '../../../report/plot/draw';
import type { Fact } from '../../../terminal/output';
import type { AlarmShown } from '../shown/alarms';
import type { TrayLine } from '../shown/tray';
import { dialogs, MARK_BUTTONS } from './dialogs';
import { factsMarkup, wordMarkup } from './line';
import type { Parts } from './room';

export interface TrayShown {
  /** Of the room; null where this tray is all there is. */
  readonly room: string | null;
  readonly line: TrayLine;
  readonly at: string;
  readonly alarms: readonly AlarmShown[];
  readonly facts: readonly Fact[];
  /** Null where no journal is kept yet. */
  readonly report: Report | null;
  /** Where the plot is to be had as data; another one whenever it has changed. */
  readonly plotAt: string | null;
  readonly units: 'metric' | 'us';
}

/** Width that the plot is drawn in until the script draws it for the screen, px. */
const STATIC_PX = 640;

const headMarkup = ({ line: { name, word, says }, at }: TrayShown): Markup =>
  html`<h1>${wordMarkup(word)} ${name}</h1>
${says.map((one) => html`<p>${one}</p>`)}<p class="quiet">At ${at}.</p>`;

function alarmMarkup(shown: AlarmShown): Markup {
  const { alarm, title, meaning, facts, steps, unseen, latched } = shown;
  const button = (act: 'seen' | 'mended', label: string): Markup =>
    html`<button type="button" data-act="${act}" data-alarm="${alarm}" data-what="${title}" id="${act}-${alarm}">${label}</button>`;
  return html`<section class="story stands" aria-labelledby="stands-${alarm}"><h3 id="stands-${alarm}">${title}</h3>
<p>${withCode(meaning)}</p>
${facts.map((one) => html`<p>${withCode(one)}</p>`)}<ol>${steps.map((step) => html`<li>${withCode(step)}</li>`)}</ol>
<div class="buttons acts">${unseen ? button('seen', 'Seen') : null}${latched ? button('mended', 'Mended') : null}</div></section>
`;
}

const alarmsMarkup = ({ alarms }: TrayShown): Markup =>
  alarms.length === 0
    ? html``
    : html`<h2>Do this now</h2>
${alarms.map(alarmMarkup)}`;

function storyMarkup({ report }: TrayShown): Markup {
  if (report === null) return html`<p class="quiet">No journal of it is kept here yet.</p>`;
  return html`${answersMarkup(report.answers)}${incidentStories(report)}${alarmStories(report)}<p class="quiet">${report.period}. ${report.made}</p>`;
}

export function trayParts(shown: TrayShown): Parts {
  return {
    head: headMarkup(shown),
    alarms: alarmsMarkup(shown),
    facts: factsMarkup([...shown.line.facts, ...shown.facts]) ?? html``,
    story: storyMarkup(shown),
    'plot-at': shown.plotAt === null ? html`` : html`<data value="${shown.plotAt}"></data>`,
  };
}

/** The last day, for readers without a script. */
function staticPlot({ report }: TrayShown): Markup | null {
  if (report === null) return null;
  const { lengthMin } = report.plot;
  const from = Math.max(0, lengthMin - DAY_MIN);
  return drawPlot(report.plot, { from, to: lengthMin, widthPx: STATIC_PX });
}

export function trayBody(shown: TrayShown): Markup {
  const parts = trayParts(shown);
  const part = (id: string): Markup => html`<div id="${id}">${parts[id] ?? null}</div>`;
  return html`${shown.room === null ? null : html`<nav><a href="/">All trays of ${shown.room}</a></nav>`}
<header>${part('head')}</header>
<main id="main">
${part('alarms')}
<section class="acts" aria-labelledby="tell"><h2 id="tell">Tell what you did</h2>
<div class="buttons">${MARK_BUTTONS.map(({ act, label }) => html`<button type="button" data-act="${act}" id="tell-${act}">${label}</button>`)}</div></section>
<section aria-labelledby="stands"><h2 id="stands">How it stands</h2>${part('facts')}</section>
<section aria-labelledby="plots"><h2 id="plots">How it went</h2>
<div class="controls" id="controls" hidden><button type="button" data-do="in">Zoom in</button><button type="button" data-do="out">Zoom out</button><button type="button" data-do="earlier">Earlier</button><button type="button" data-do="later">Later</button><button type="button" data-do="part">Last 24 h</button><button type="button" data-do="whole">All</button></div>
<output class="readout quiet" id="readout" hidden></output>
<div class="drawing static" id="drawing">${staticPlot(shown)}</div>${part('plot-at')}</section>
${part('story')}
</main>
${dialogs(shown.line.name, shown.units)}`;
}
