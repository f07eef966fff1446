/**
 * The page: one file that asks nothing of any network, and says so to the browser. Without its script all is there but
 * zooming. Pure.
 */
import { html, type Markup } from '../html';
import type { Answers, Leave, Line, Report } from '../model';
import { documentOf } from './document';
import { alarmStories, incidentStories } from './stories';
import { tableMarkup } from './table';
import { withCode } from './words';
import { zoomable } from './zoomable';

/** The whole file. `script`: what zooms the plot, as it is built. */
export function pageOf(report: Report, script: string): string {
  const { title, period, made, crop, plot } = report;
  return documentOf(
    `${title}: ${period}`,
    script,
    html`<a class="skip" href="#stories">Skip the answers and plots</a>
<header>
<h1>${title}</h1>
<p>${period}${crop === null ? '' : `; ${crop}`}</p>
</header>
<main>
${answersMarkup(report.answers)}
<section aria-labelledby="plots">
<h2 id="plots">How it went</h2>
<p class="quiet hint">Numbers and exclamation marks lead to their explanation.</p>
${zoomable({ kind: 'season', plot }, { part: 'Last 24 h', still: 'Plots' })}
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
<footer><p class="quiet">${made}</p></footer>`,
  );
}

const LEAVE_WORDS: Readonly<Record<Leave, string>> = {
  'not-yet': 'Not yet.',
  'look-first': 'Look first.',
  'nothing-against': 'Nothing in the journal speaks against it.',
  'not-sown': 'Not sown.',
};

/** The four questions of whoever comes back, answered. */
export function answersMarkup({ happened, plants, next, leave, leaveWhy }: Answers): Markup {
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
