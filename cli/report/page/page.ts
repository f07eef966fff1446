/**
 * The page: one file that asks nothing of any network, and says so to the browser. Without its script all is there but
 * zooming. Pure.
 */
import { createHash } from 'node:crypto';
import { dataBlock, html, Markup } from '../html';
import type { Answers, Leave, Line, Report } from '../model';
import { drawPlot } from '../plot/draw';
import { alarmStories, incidentStories } from './stories';
import { STYLE } from './style';
import { tableMarkup } from './table';
import { withCode } from './words';

/** Width that the plot is drawn in for paper, and for readers without a script, px. */
const STATIC_PX = 920;

/** What the browser's policy knows a block of the page by (Content Security Policy level 3, 2.3.1). */
const hashOf = (text: string): string =>
  `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** The whole file. `script`: what zooms the plot, as it is built. */
export function pageOf(report: Report, script: string): string {
  const policy = `default-src 'none'; style-src ${hashOf(STYLE)}; script-src ${hashOf(script)}; base-uri 'none'; form-action 'none'`;
  const { title, period, made, crop, plot } = report;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="trayward">
<title>${title}: ${period}</title>
<style>${new Markup(STYLE)}</style>
</head>
<body>
<a class="skip" href="#stories">Skip the answers and plots</a>
<header>
<h1>${title}</h1>
<p>${period}${crop === null ? '' : `; ${crop}`}</p>
</header>
<main>
${answersMarkup(report.answers)}
<section aria-labelledby="plots">
<h2 id="plots">How it went</h2>
<p class="quiet hint">Numbers and exclamation marks lead to their explanation.</p>
<div class="controls" id="controls" hidden>
<button type="button" data-do="in">Zoom in</button><button type="button" data-do="out">Zoom out</button><button type="button" data-do="earlier">Earlier</button><button type="button" data-do="later">Later</button><button type="button" data-do="day">Last 24 h</button><button type="button" data-do="whole">All</button>
</div>
<output class="readout quiet" id="readout" hidden></output>
<div class="drawing static" id="drawing">${drawPlot(plot, { from: 0, to: plot.lengthMin, widthPx: STATIC_PX })}</div>
</section>
<div id="stories">
${incidentStories(report)}
${alarmStories(report)}
</div>
<section aria-labelledby="tables">
<h2 id="tables">Tables</h2>
${report.tables.map(tableMarkup)}
</section>
${unknownMarkup(report)}
</main>
<footer><p class="quiet">${made}</p></footer>
<script type="application/json" id="plot-data">${dataBlock(plot)}</script>
<script>${new Markup(script)}</script>
</body>
</html>
`.text;
}

const LEAVE_WORDS: Readonly<Record<Leave, string>> = {
  'not-yet': 'Not yet.',
  'look-first': 'Look first.',
  'nothing-against': 'Nothing in the journal speaks against it.',
};

function answersMarkup({ happened, plants, next, leave, leaveWhy }: Answers): Markup {
  return html`<div class="answers">
<section><h2>What happened?</h2>${list(happened)}</section>
<section><h2>How bad was it for the plants?</h2>${list(plants)}</section>
<section><h2>What do I do?</h2>${list(next)}</section>
<section><h2>Can I leave again?</h2><p class="verdict ${leave}">${LEAVE_WORDS[leave]}</p>${list(leaveWhy)}</section>
</div>`;
}

const list = (lines: readonly Line[]): Markup =>
  html`<ul>${lines.map(({ says, id }) => html`<li>${withCode(says)}${id === null ? null : html` <a href="#${id}" aria-label="More on: ${says}">more</a>`}</li>`)}</ul>`;

function unknownMarkup({ unknown }: Report): Markup | null {
  if (unknown.length === 0) return null;
  return html`<section aria-labelledby="unknown">
<h2 id="unknown">What this journal cannot tell</h2>
<ul>${unknown.map((says) => html`<li>${withCode(says)}</li>`)}</ul>
</section>`;
}
