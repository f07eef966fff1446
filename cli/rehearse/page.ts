/** The page of a rehearsal: when what comes, what to do and when, fans over time, tables. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import { html, type Markup } from '../report/html';
import { documentOf } from '../report/page/document';
import { alarmCard } from '../report/page/stories';
import { tableMarkup } from '../report/page/table';
import { withCode } from '../report/page/words';
import { zoomable } from '../report/page/zoomable';
import type { Fact } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { fanOf } from './fan';
import { doseTable, feedTable, stageTable } from './tables';
import { type Rehearsed, type RehearsedTask, stageOn, tasksOf } from './tasks';
import { alarmText, bandSentences, plantFacts, takesFacts, taskWhenText, whenFacts } from './words';

/** What the page says besides the rehearsals. */
export interface Asked {
  /** The room, the grower and the days, in words. */
  readonly asked: string;
  readonly pricePerKwh: number | null;
  readonly crop: string;
}

/** The whole file. `script`: what zooms the fans, as it is built. */
export function rehearsalPageOf(rehearsed: Rehearsed, words: Asked, script: string): string {
  const { summary, profile, units } = rehearsed;
  const bands = bandSentences(summary, profile, units);
  const page = documentOf(
    `${profile.title}, rehearsed`,
    script,
    html`<a class="skip" href="#alarms">Skip answers and plots</a>
<header><h1>${profile.title}</h1>
<p>${capitalised(words.crop)}, before it is sown. ${words.asked}</p>
</header>
<main>
<div class="answers">
<section><h2>When does what come?</h2>${factList([...whenFacts(summary), alarmFact(rehearsed)])}</section>
<section><h2>What does it take?</h2>${factList(takesFacts(summary, units, words.pricePerKwh))}</section>
<section><h2>How do the plants fare?</h2>${factList(plantFacts(summary))}</section>
<section><h2>Is each band reached?</h2>${bands.length === 0 ? html`<p>Yes: in every stage nearly all of the time.</p>` : html`<ul>${bands.map((says) => html`<li>${says}</li>`)}</ul>`}</section>
</div>
<section aria-labelledby="tasks">
<h2 id="tasks">What you do, and when</h2>
<dl class="days">${tasksOf(rehearsed).map((task) => taskMarkup(task, rehearsed))}</dl>
</section>
<section aria-labelledby="plots">
<h2 id="plots">How it will go</h2>
<p class="quiet">${explained(rehearsed)}</p>
${zoomable({ kind: 'fan', fan: fanOf(rehearsed) }, { part: 'First two weeks', still: 'Plots of all rehearsals' })}
</section>
${alarmsMarkup(rehearsed)}
<section aria-labelledby="tables">
<h2 id="tables">Tables</h2>
${[stageTable, feedTable, doseTable]
  .map((tableOf) => tableOf(rehearsed))
  .filter(({ rows }) => rows.length > 0)
  .map(tableMarkup)}
</section>
</main>
<footer><p class="quiet">${withCode(madeText(rehearsed))}</p></footer>`,
  );
  return page.replaceAll(REFILLED, `trayward mark refilled ${ownFeed(rehearsed)}`);
}

/** The example in the advice on other feed: whoever copies it would tell the strength of another crop. */
const REFILLED = /trayward mark refilled --volume [\d.]+l --ec [\d.]+mS\/cm/g;

/** What this profile has in the reservoir when that advice is read; in words where it differs from stage to stage. */
function ownFeed({ all, profile }: Rehearsed): string {
  const wanted = all.flatMap((one) =>
    one.alarms
      .filter(({ alarm }) => alarm === 'feed-unlike')
      .map(({ day }) => profile.stages[stageOn(one, day)]?.feedEc ?? 0),
  );
  const [ec, other] = new Set(wanted.filter((value) => value > 0));
  if (ec === undefined || other !== undefined) return '--volume VOLUME --ec EC';
  return `--volume ${profile.reservoirMl / ML_PER_L}l --ec ${Number(ec.toFixed(2))}mS/cm`;
}
const ML_PER_L = 1_000;

const factList = (list: readonly Fact[]): Markup =>
  html`<dl>${list.map(({ label, value, note = '', tone }) => {
    const kind = tone === undefined ? null : html` class="${TONES[tone]}"`;
    return html`<dt>${label}</dt><dd><p${kind}>${value}</p>${note === '' ? null : html`<p class="quiet">${note}</p>`}</dd>`;
  })}</dl>`;

/** As the page marks what is to be looked at; the words say the same. */
const TONES = { warn: 'look-first', bad: 'not-yet' } as const;

function alarmFact({ summary: { alarms, rehearsals } }: Rehearsed): Fact {
  const told = alarms.map(
    (one) => `${ADVICE[one.alarm].title} (${one.rehearsals} of ${rehearsals})`,
  );
  return { label: 'Alarms', value: told.length === 0 ? 'none' : told.join('; ') };
}

function taskMarkup(task: RehearsedTask, { all, summary }: Rehearsed): Markup {
  const { rehearsals, title, why } = task;
  const some =
    rehearsals > 0 && rehearsals < all.length ? ` (in ${rehearsals} of ${all.length})` : '';
  return html`<dt>${taskWhenText(task, summary)}</dt><dd><strong>${title}</strong>${some}: ${withCode(why)}</dd>`;
}

/** How the fans are read. */
function explained({ all }: Rehearsed): string {
  const axis = 'The axis counts days since sowing.';
  if (all.length === 1)
    return `${axis} One rehearsal is one line: with more of them, --seeds 12, you see how far they spread.`;
  return `${axis} As far as ${all.length} rehearsals tell, each with other weather, parts and seedlings, 9 in 10 such seasons lie between the dashed lines (5 to 95 %) and half of them within the dark surface (25 to 75 %); the broad line is the middle. Where hours are too narrow to be drawn, the dashed lines are the outermost of them. A fan ends where fewer than half of the rehearsals go on. A bar goes from the earliest rehearsal to the latest, its tick is the middle one.`;
}

function alarmsMarkup({ summary }: Rehearsed): Markup {
  const { alarms, rehearsals } = summary;
  return html`<section aria-labelledby="alarms"><h2 id="alarms">Alarms to expect</h2>
${
  alarms.length === 0
    ? html`<p>None, in any rehearsal.</p>`
    : alarms.map((one) =>
        alarmCard(one.alarm, ADVICE[one.alarm].title, [alarmText(one, rehearsals)]),
      )
}</section>`;
}

const madeText = ({ all }: Rehearsed): string =>
  `Made by \`trayward rehearse\` with ${all.length === 1 ? 'seed 1' : `seeds 1 to ${all.length}`}: the same words give the same page. A simulated tray is like yours, and is not yours: what your own has done is in \`trayward report\`.`;
