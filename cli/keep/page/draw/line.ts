/** A tray's line: its word, why, and what comes next. Pure. */
import { html, type Markup } from '../../../report/html';
import { withCode } from '../../../report/page/words';
import type { Fact } from '../../../terminal/output';
import { capitalised } from '../../../words/capitalised';
import { trayPath } from '../address';
import type { PlainWord, TrayLine } from '../shown/tray';

/** The word itself tells; colour and place only help. */
export const wordMarkup = (word: PlainWord): Markup =>
  html`<span class="word ${word}">${word}</span>`;

export const factsMarkup = (facts: readonly Fact[]): Markup | null =>
  facts.length === 0
    ? null
    : html`<dl class="facts">${facts.map(
        ({ label, value, note = '', tone }) =>
          html`<div><dt>${label}</dt><dd${tone === undefined ? null : html` class="${tone}"`}>${capitalised(value)}${note === '' ? null : html` <span class="quiet">${withCode(note)}</span>`}</dd></div>`,
      )}</dl>`;

/** Of what stands, so much on the line: the tray's own page has it all. */
const SAYS_MOST = 4;

export function lineMarkup({ name, word, says, facts }: TrayLine): Markup {
  return html`<h2><a href="${trayPath(name)}">${wordMarkup(word)} <span class="name">${name}</span></a></h2>
${says.slice(0, SAYS_MOST).map((one) => html`<p>${one}</p>`)}${factsMarkup(facts)}`;
}
