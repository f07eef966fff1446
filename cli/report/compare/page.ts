/** The page of two seasons side by side: what differs, the plots over one axis, and what went wrong in each. Pure. */
import { ADVICE } from '../../../shared/alarms/advice';
import { formatQuantity, NO_VALUE, type UnitSystem } from '../../../shared/units';
import { html, type Markup } from '../html';
import type { Table } from '../model';
import { documentOf } from '../page/document';
import { tableMarkup } from '../page/table';
import { withCode } from '../page/words';
import { zoomable } from '../page/zoomable';
import { alarmId } from '../plot/of-stand';
import {
  type Compared,
  type Comparison,
  type Difference,
  pairOf,
  placeOf,
  type Side,
} from './model';
import { LETTERS } from './pair';

/** The whole file. `script`: what zooms the plots, as it is built. */
export function comparePageOf(comparison: Comparison, script: string): string {
  const { sides } = comparison;
  const title = sides.map(({ report }) => report.title).join(' beside ');
  return documentOf(
    title,
    script,
    html`<a class="skip" href="#sides">Skip table and plots</a>
<header><h1>Two seasons, from sowing on</h1></header>
<main>
<dl>${sides.map((side, i) => html`<dt>${LETTERS[i] ?? ''}</dt><dd>${sideText(side)}</dd>`)}</dl>
<section aria-labelledby="numbers">
<h2 id="numbers">In numbers</h2>
${tableMarkup(tableOf(comparison))}
</section>
<section aria-labelledby="plots">
<h2 id="plots">How they went</h2>
<p class="quiet">Lanes of A and B stand below each other; the axis counts days since sowing. Numbers and exclamation marks lead to their explanation.</p>
${zoomable({ kind: 'pair', pair: pairOf(comparison) }, { part: 'Days of both', still: 'Plots, A above B' })}
</section>
<div id="sides">
${sides.map((side, i) => sideMarkup(side, LETTERS[i] ?? ''))}</div>
</main>
<footer>${sides.map(({ report }, i) => html`<p class="quiet">${LETTERS[i] ?? ''}: ${report.made}</p>`)}</footer>`,
  );
}

export const sideText = ({ report: { title, crop, period }, name }: Side): string =>
  `${title}${crop === null ? '' : ` (${crop})`}, ${period}; ${name}`;

/** What went wrong in one of them, where its marks lead. */
function sideMarkup({ report: { incidents, plot, alarms } }: Side, letter: string): Markup {
  const told = [
    ...[...plot.incidents]
      .sort((a, b) => (a.number ?? 0) - (b.number ?? 0))
      .map(({ id, number, label }) => ({ id, says: `${number}. ${label}` })),
    ...alarms.map(({ alarm, times }) => ({
      id: placeOf(letter, alarmId(alarm)),
      says: `Alarm: ${ADVICE[alarm].title}: ${times.join('; ')}`,
    })),
  ];
  const head = `side-${letter}`;
  return html`<section aria-labelledby="${head}"><h2 id="${head}">${letter}: what went wrong</h2>
${
  told.length === 0
    ? html`<p>Nothing, as far as the journal tells.</p>`
    : html`<ul>${told.map(({ id, says }) => html`<li id="${id}" tabindex="-1">${withCode(says)}</li>`)}</ul>`
}
${incidents.length === 0 ? null : html`<p class="quiet">${withCode('Causes, and what to do: `trayward report` of that season.')}</p>`}</section>
`;
}

/** What is compared, in a grower's words, and how it is written. */
const WORDS: Readonly<
  Record<
    Compared,
    { readonly says: string; readonly write: (value: number, units: UnitSystem) => string }
  >
> = {
  emergedDay: { says: 'Emerged, day', write: (value) => value.toFixed(1) },
  firstFeedDay: { says: 'First feed, day', write: (value) => value.toFixed(1) },
  transplantedDay: { says: 'Transplanted, day', write: (value) => value.toFixed(1) },
  days: { says: 'Days of the journal', write: (value) => value.toFixed(1) },
  doses: { says: 'Doses', write: (value) => value.toFixed(0) },
  waterMl: { says: 'Water', write: (value, units) => formatQuantity('volume', value, units) },
  waterEachMl: {
    says: 'Water for each plant',
    write: (value, units) => formatQuantity('volume', value, units),
  },
  saltsEachMg: { says: 'Salts for each plant', write: (value) => `${value.toFixed(0)} mg` },
  outOfBandH: { says: 'Root zone out of its band', write: (value) => `${value.toFixed(1)} h` },
  matH: { says: 'Mat on', write: (value) => `${value.toFixed(1)} h` },
  alarms: { says: 'Alarms raised', write: (value) => value.toFixed(0) },
};

/** Days on which something came. */
const DATED: readonly Compared[] = ['emergedDay', 'firstFeedDay', 'transplantedDay'];

const written = (what: Compared, value: number | null, units: UnitSystem): string =>
  value === null ? NO_VALUE : WORDS[what].write(value, units);

function differenceText({ what, difference }: Difference, units: UnitSystem): string {
  if (difference === null) return NO_VALUE;
  const size = WORDS[what].write(Math.abs(difference), units);
  // What is written as nothing is nothing.
  if (size === WORDS[what].write(0, units)) return 'same';
  const [above, below] = DATED.includes(what) ? ['later', 'earlier'] : ['more', 'less'];
  return `${size} ${difference > 0 ? above : below}`;
}

/** The table of the page, and of the screen. */
export function tableOf({ differences, commonDays, units }: Comparison): Table {
  return {
    title: 'What differs',
    note: `Water, salts, hours and alarms are those of the first ${commonDays.toFixed(1)} days from sowing, which both have. In its band is a root zone within half a kelvin of it.`,
    columns: ['What', ...LETTERS, 'B beside A'].map((title, i) => ({ title, isNumber: i > 0 })),
    rows: differences.map((one) => [
      WORDS[one.what].says,
      written(one.what, one.a, units),
      written(one.what, one.b, units),
      differenceText(one, units),
    ]),
  };
}
