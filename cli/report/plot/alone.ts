/**
 * A report's drawing as a file of its own, to mail and to print: with its title, what is to be read from it in words,
 * and its colours written out, for a bright screen, a dark one and paper. Pure.
 */
import { ADVICE } from '../../../shared/alarms/advice';
import { wrap } from '../../terminal/output';
import { capitalised } from '../../words/capitalised';
import type { Course } from '../course';
import { html, Markup } from '../html';
import type { Report } from '../model';
import { px } from './axes';
import { drawLanes } from './draw';
import { type Colours, PLOT_RULES, THEMES } from './looks';

/** Wide enough for a page of paper, and for a screen. */
export const ALONE_PX = 900;
/** As wide as a telephone is. */
export const NARROW_PX = 380;

/** Fonts that systems have, the first that is there: a file brings none with it. */
const FONTS = 'system-ui, "Segoe UI", Roboto, "Helvetica Neue", "DejaVu Sans", sans-serif';
/** Room round it all, px. */
const PAD_PX = 14;
const HEAD_PX = 25;
const LINE_PX = 18;
/** Width of a character of a sentence, px: generous, because every system has another font. */
const CHAR_PX = 6.9;
const HEAD_CHAR_PX = 11;
/** More sentences of one kind would make a page of a picture. */
const TOLD_MOST = 8;

const ALONE_RULES = `
svg.plot .ground { fill: var(--ground); }
svg.plot .head { font-size: 20px; font-weight: 700; }
svg.plot .says { font-size: 12.5px; } svg.plot .quiet { fill: var(--quiet); }
svg.plot .key { font-weight: 700; }
`;

/** Rules with the colours of a theme in the place of their names. */
const coloured = (rules: string, colours: Colours): string =>
  Object.entries(colours).reduce(
    (text, [name, colour]) => text.replaceAll(`var(--${name})`, colour),
    rules.trim(),
  );

/** The rules that have a colour: a theme changes nothing else. */
const COLOURED = (PLOT_RULES + ALONE_RULES)
  .split(/(?<=\})\s*/)
  .filter((rule) => rule.includes('var('))
  .join('\n');

/** Programs that know no theme take the first rules, which print well in grey. */
const STYLE = `svg.plot { font-family: ${FONTS}; }
${coloured(PLOT_RULES + ALONE_RULES, THEMES.light)}
@media screen and (prefers-color-scheme: dark) {
${coloured(COLOURED, THEMES.dark)}
}
@media print {
${coloured(COLOURED, THEMES.paper)}
}
`;

/** A line of text with its kind in the style. */
interface Row {
  readonly kind: string;
  readonly text: string;
}

/** A sentence broken to the width. */
function rowsOf(kind: string, says: string, widthPx: number, charPx = CHAR_PX): readonly Row[] {
  // Commands stand in backticks in our words: a drawing has no other letters for them.
  const columns = Math.floor(widthPx / charPx);
  return wrap(says, columns)
    .replaceAll('`', '')
    .split('\n')
    .map((text) => ({ kind, text }));
}

/** What was told of it, and how many more there are. */
function listOf(
  title: string,
  lines: readonly string[],
  says: (list: string) => readonly Row[],
): readonly Row[] {
  if (lines.length === 0) return [];
  const more = lines.length - TOLD_MOST;
  return [
    { kind: 'says key', text: title },
    ...lines.slice(0, TOLD_MOST).flatMap(says),
    ...(more > 0 ? says(`And ${more} more: the page of \`trayward report\` has them.`) : []),
  ];
}

/** Their names, which a ribbon may have no room for. */
function stages({ stages: all }: Report['plot']): readonly string[] {
  const names = [...new Set(all.map(({ label }) => label))];
  return names.length === 0 ? [] : [`Stages: ${names.join(', ')}.`];
}

/** In words below the drawing, what its marks stand for. */
function keyOf({ plot, alarms, made }: Report, widthPx: number): readonly Row[] {
  const says = (text: string): readonly Row[] => rowsOf('says', text, widthPx);
  const numbered = [...plot.incidents]
    .sort((a, b) => (a.number ?? 0) - (b.number ?? 0))
    .map(({ number, label }) => `${number}  ${label}`);
  const signed = alarms.map(({ alarm, times }) => `!  ${ADVICE[alarm].title}: ${times.join('; ')}`);
  return [
    ...listOf('What went wrong', numbered, says),
    ...listOf('Alarms', signed, says),
    ...stages(plot).flatMap(says),
    ...rowsOf('says quiet', made, widthPx),
  ];
}

/** When what came, as far as it has. */
function courseText({ emergedDay, firstFeedDay, transplantedDay }: Course): readonly string[] {
  const steps = [
    ['up on', emergedDay],
    ['first fed on', firstFeedDay],
    ['transplanted on', transplantedDay],
  ] as const;
  const told = steps.flatMap(([what, day]) =>
    day === null ? [] : [`${what} day ${day.toFixed(0)}`],
  );
  return told.length === 0 ? [] : [`${capitalised(told.join(', '))}.`];
}

/** Above it: what it is, and how the plants had it. */
function headOf(
  { title, crop, period, answers, incidents, course }: Report,
  widthPx: number,
): readonly Row[] {
  // Where nothing went wrong, that nothing was suffered goes without saying.
  const plants = incidents.length === 0 ? answers.plants.slice(1) : answers.plants;
  const told = [...answers.happened.slice(0, 1), ...plants].map(({ says }) => says);
  const went = course === null ? [] : courseText(course);
  return [
    ...rowsOf('head', title, widthPx, HEAD_CHAR_PX),
    ...rowsOf('says quiet', crop === null ? period : `${crop}, ${period}`, widthPx),
    ...rowsOf('says', [...went, ...told].join(' '), widthPx),
  ];
}

const heightOf = ({ kind }: Row): number => (kind === 'head' ? HEAD_PX : LINE_PX);

/** Lines below each other from `topPx` on. */
function written(rows: readonly Row[], topPx: number): { lines: Markup; bottomPx: number } {
  let y = topPx;
  const lines = rows.map((row) => {
    y += heightOf(row);
    return html`<text class="${row.kind}" x="${PAD_PX}" y="${px(y - 4)}">${row.text}</text>`;
  });
  return { lines: html`${lines}`, bottomPx: y };
}

/** The whole file. */
export function aloneOf(report: Report, widthPx = ALONE_PX): string {
  const { plot, title, period } = report;
  const insidePx = widthPx - 2 * PAD_PX;
  const view = { from: 0, to: plot.lengthMin, widthPx: insidePx };
  const head = written(headOf(report, insidePx), PAD_PX);
  const lanes = drawLanes(plot, view, { name: 'season', linked: false });
  const plotPx = head.bottomPx + 4;
  const key = written(keyOf(report, insidePx), plotPx + lanes.heightPx + 8);
  const height = px(key.bottomPx + PAD_PX);
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" width="${widthPx}" height="${height}" viewBox="0 0 ${widthPx} ${height}" role="img" aria-labelledby="title" aria-describedby="says" font-family="${FONTS}">
<title id="title">${title}: ${period}</title>
<desc id="says">${report.answers.plants.map(({ says }) => says).join(' ')}</desc>
<style>${new Markup(STYLE)}</style>
<rect class="ground" width="${widthPx}" height="${height}"/>
${head.lines}
<g transform="translate(${PAD_PX} ${px(plotPx)})">${lanes.inside}</g>
${key.lines}
</svg>
`.text;
}
