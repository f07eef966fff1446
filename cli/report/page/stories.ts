/** What the marks of the plot lead to: incidents with cause, effect and evidence, and every alarm in its own words. Pure. */
import { ADVICE, nextSteps } from '../../../shared/alarms/advice';
import type { AlarmName } from '../../../shared/alarms/catalogue';
import { factsOf, headline } from '../../explain/text';
import { keptOffText } from '../../words/alarm';
import { html, type Markup } from '../html';
import type { AlarmStory, Report } from '../model';
import { alarmId, incidentId } from '../plot/of-stand';
import { withCode } from './words';

/** More times than these of one alarm would bury the others. */
const TIMES_MOST = 12;

export function incidentStories({ incidents }: Report): Markup | null {
  if (incidents.length === 0) return null;
  return html`<section aria-labelledby="incidents"><h2 id="incidents">What went wrong, the worst first</h2>
${incidents.map((incident, i) => {
  const id = incidentId(i + 1);
  const rows = factsOf(incident).filter(({ value }) => value !== '');
  return html`<section class="story" id="${id}" tabindex="-1" aria-labelledby="${id}-head"><h3 id="${id}-head">${i + 1}. ${headline(incident)}, ${incident.when}</h3>
<dl>${rows.map(({ label, value }) => html`<dt>${label}</dt><dd>${lines(value)}</dd>`)}</dl></section>
`;
})}</section>`;
}

/** Sentences one a line; what begins with a dash is a step. */
function lines(value: string): Markup {
  const all = value.split('\n');
  if (!all.every((line) => line.startsWith('- ')))
    return html`${all.map((line) => html`<p>${withCode(line)}</p>`)}`;
  return html`<ul>${all.map((line) => html`<li>${withCode(line.slice(2))}</li>`)}</ul>`;
}

export function alarmStories({ alarms }: Report): Markup | null {
  if (alarms.length === 0) return null;
  return html`<section aria-labelledby="alarms"><h2 id="alarms">Alarms</h2>
${alarms.map(alarmStory)}</section>`;
}

const alarmStory = ({ alarm, standing, times }: AlarmStory): Markup =>
  alarmCard(alarm, `${ADVICE[alarm].title}${standing ? ' (stands)' : ' (over)'}`, times);

/** An alarm under its `head`: its times, what it means, what it comes from, what to do. */
export function alarmCard(alarm: AlarmName, head: string, times: readonly string[]): Markup {
  const { meaning, causes } = ADVICE[alarm];
  const id = alarmId(alarm);
  const kept = keptOffText(alarm);
  const more = times.length - TIMES_MOST;
  const rows: readonly (readonly [string, Markup])[] = [
    [
      'When',
      html`${times.slice(0, TIMES_MOST).map((time) => html`<p>${time}</p>`)}${more > 0 ? html`<p>and ${more} more times</p>` : null}`,
    ],
    ['Means', html`<p>${withCode(meaning)}${kept === '' ? null : ` It holds ${kept} off.`}</p>`],
    ['Causes', html`<ul>${causes.map((cause) => html`<li>${withCode(cause)}</li>`)}</ul>`],
    ['To do', html`<ol>${nextSteps(alarm).map((step) => html`<li>${withCode(step)}</li>`)}</ol>`],
  ];
  return html`<section class="story" id="${id}" tabindex="-1" aria-labelledby="${id}-head"><h3 id="${id}-head">${head}</h3>
<dl>${rows.map(([label, value]) => html`<dt>${label}</dt><dd>${value}</dd>`)}</dl></section>
`;
}
