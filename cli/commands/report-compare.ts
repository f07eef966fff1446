/** `report --compare A B`: two stored seasons side by side, from their sowing on. */

import { dayText } from '../../shared/planning/calendar-day';
import type { SeasonName } from '../arguments/season';
import type { Answer, Context } from '../context';
import { refused } from '../failure';
import { type KeptJournal, newestJournal } from '../journal/newest';
import type { Comparison } from '../report/compare/model';
import { comparisonOf } from '../report/compare/of-seasons';
import { type SeasonSpan, seasonsOf } from '../report/compare/seasons';
import { localTime } from '../terminal/local-time';
import { facts, table, wrap } from '../terminal/output';
import { refuseMixed, refuseTaken, write } from './report-files';

interface Asked {
  readonly out: string | null;
  readonly force: boolean;
  readonly store: string | null;
}

/** As it is typed: the controller, and the day of its sowing. */
const nameOf = ({ boardId, life, sownUnixMs }: SeasonSpan): string =>
  sownUnixMs === null
    ? `${boardId}/${life.life}`
    : `${boardId}@${localTime(sownUnixMs).slice(0, 10)}`;

const listed = (seasons: readonly SeasonSpan[]): string =>
  `There are ${[...new Set(seasons.map(nameOf))].join(', ')}.`;

/** The last one sown up to the day that is named. */
function chosen(
  seasons: readonly SeasonSpan[],
  { life, day }: SeasonName,
  boardId: string,
): SeasonSpan {
  if (seasons.length === 0)
    throw refused(
      'not-sown',
      `Nothing in the journal of controller ${boardId} tells of a sowing, and seasons are laid side by side from there.`,
      'Say `trayward mark sown` when you sow. `trayward report` tells of this journal as it is.',
    );
  const last = day === null ? null : dayText(day);
  const found = seasons.filter(
    (season) =>
      (life === null || season.life.life === life) &&
      (last === null ||
        (season.sownUnixMs !== null && localTime(season.sownUnixMs).slice(0, 10) <= last)),
  );
  const season = found.at(-1);
  if (season !== undefined) return season;
  throw refused(
    'no-such-season',
    `Nothing was sown ${last === null ? `in life ${life}` : `up to ${last}`} at controller ${boardId}, as far as its journal tells.`,
    `Name one by the day of its sowing, or a later one. ${listed(seasons)}`,
  );
}

interface Found {
  readonly season: SeasonSpan;
  readonly all: readonly SeasonSpan[];
  readonly kept: KeptJournal;
}

function foundIn(kept: KeptJournal, name: SeasonName): Found {
  const { boardId, lives, profiles } = kept;
  const all = seasonsOf(boardId, lives, profiles);
  return { season: chosen(all, name, boardId), all, kept };
}

/** Both, each journal pulled once: it is locked until the command ends. */
async function findBoth(
  context: Context,
  [first, second]: readonly [SeasonName, SeasonName],
  store: string | null,
): Promise<readonly [Found, Found]> {
  const kept = await newestJournal(context, { store, controller: first.boardId });
  // Who answers is meant where none is named, and has just answered.
  const isSame =
    second.boardId === kept.boardId ||
    (second.boardId === null && (first.boardId === null || kept.pulled));
  const other = isSame ? kept : await newestJournal(context, { store, controller: second.boardId });
  return [foundIn(kept, first), foundIn(other, second)];
}

export async function compare(
  context: Context,
  names: readonly [SeasonName, SeasonName],
  { out: asked, force, store }: Asked,
): Promise<Answer> {
  refuseMixed(asked, null);
  if (asked !== null) refuseTaken('--out', asked, force);
  return compareFound(context, await findBoth(context, names, store), { out: asked, force });
}

/** The same of journals that are there already. */
export async function compareKept(
  context: Context,
  [a, b]: readonly [KeptJournal, KeptJournal],
  [first, second]: readonly [SeasonName, SeasonName],
  asked: Pick<Asked, 'out' | 'force'>,
): Promise<Answer> {
  return compareFound(context, [foundIn(a, first), foundIn(b, second)], asked);
}

async function compareFound(
  context: Context,
  [a, b]: readonly [Found, Found],
  { out: asked, force }: Pick<Asked, 'out' | 'force'>,
): Promise<Answer> {
  refuseSame(a, b);
  const { units, world } = context;
  const nowMs = Math.max(a.kept.nowMs, b.kept.nowMs);
  const out = asked ?? `compare-${localTime(world.now()).slice(0, 10)}.html`;
  refuseTaken('--out', out, force);
  const offsetMin = -new Date(nowMs).getTimezoneOffset();
  const spans = [a.season, b.season] as const;
  const made = comparisonOf(spans, [nameOf(a.season), nameOf(b.season)], {
    units,
    offsetMin,
    nowMs,
  });
  if (made === null)
    throw refused(
      'nothing-there',
      'One of these journals ends with its sowing: there is nothing to compare yet.',
      'Compare them when both have run for a while.',
    );
  const text = await pageText(made);
  write(out, text, force);
  return {
    result: {
      out,
      bytes: Buffer.byteLength(text),
      ...partsOf(made, spans),
      damaged: a.kept.damaged + (a.kept === b.kept ? 0 : b.kept.damaged),
    },
    text: await told(made, out, context),
  };
}

/** Loaded only now: the page brings its own program with it. */
async function pageText(made: Comparison): Promise<string> {
  const [{ comparePageOf }, { default: script }] = await Promise.all([
    import('../report/compare/page'),
    import('trayward:page-script'),
  ]);
  return comparePageOf(made, script);
}

/** The comparison as programs have it. */
const partsOf = ({ commonDays, sides, differences }: Comparison, spans: readonly SeasonSpan[]) => ({
  commonDays,
  seasons: sides.map(({ name, report, course }, i) => ({
    name,
    boardId: report.boardId,
    life: spans[i]?.life.life ?? 1,
    title: report.title,
    crop: report.crop,
    sownUnixMs: spans[i]?.sownUnixMs ?? null,
    days: course.days,
    incidents: report.incidents.length,
    alarms: report.alarms.map(({ alarm }) => alarm),
  })),
  differences,
});

function refuseSame(a: Found, b: Found): void {
  if (a.season.boardId !== b.season.boardId || a.season.life.life !== b.season.life.life) return;
  if (a.season.sownMs !== b.season.sownMs) return;
  throw refused(
    'same-season',
    `Both are the season ${nameOf(a.season)}: there is nothing to compare it with.`,
    a.all.length === 1
      ? 'This controller has no other one. Name a second controller, or wait for the next sowing.'
      : `Name another one. ${listed(a.all)}`,
  );
}

async function told(made: Comparison, out: string, { style }: Context): Promise<string> {
  const { sideText, tableOf } = await import('../report/compare/page');
  const { columns, rows, note } = tableOf(made);
  const sides = made.sides.map((side, i) => ({ label: 'AB'.charAt(i), value: sideText(side) }));
  return [
    facts(sides, style),
    '',
    table(
      columns.map(({ title, isNumber }) => ({ title, align: isNumber ? 'right' : 'left' })),
      rows,
      style,
    ),
    wrap(note, style.width),
    wrap(`${out} is written: open it with any browser; it needs no network.`, style.width),
  ].join('\n');
}
