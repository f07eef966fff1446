/** `away`: whether the tray can be left for so long, what ends that, and what buys most time. */
import type { Command } from 'commander';
import { formatQuantity } from '../../shared/units';
import { HOUR_MS, HOUR_S, MINUTE_MS } from '../../shared/units/time';
import { type OptionsOf, typedText } from '../arguments/options';
import { quantityOf } from '../arguments/quantity';
import { answerOf } from '../away/answer';
import { obstaclesOf } from '../away/obstacles';
import { awayText } from '../away/text';
import { WHY_NOT } from '../away/why-not';
import type { Act, Context } from '../context';
import { recordOf } from '../explain/record';
import { unixOf } from '../explain/show';
import { standOf } from '../explain/stand';
import { withSoundTimes } from '../explain/time-line';
import { refused, usage } from '../failure';
import { forecastOf } from '../forecast/forecast';
import { FORECAST_LIMITS } from '../forecast/limits';
import { dateEntries } from '../journal/dating';
import { type KeptJournal, newestJournal } from '../journal/newest';
import { localTime } from '../terminal/local-time';

const OPTIONS = { store: typedText, controller: typedText };
type Options = OptionsOf<typeof OPTIONS>;

const ASKED_LEAST_H = 1;
/** A journal that ends so long ago says nothing of the tray as it stands now. */
const STALE_H = 72;
const EXAMPLE = 'Say for how long, such as `trayward away 6d`.';

/** Hours, of `6d`, `36 h`, `2 weeks`. */
function askedH(typed: string): number {
  const hours = quantityOf('duration', typed, EXAMPLE) / HOUR_S;
  if (hours >= ASKED_LEAST_H && hours <= FORECAST_LIMITS.horizonH) return hours;
  throw usage(
    `${typed} is outside 1 h to ${FORECAST_LIMITS.horizonH / 24} d: nothing is told further ahead, for plants and rooms become others.`,
    EXAMPLE,
  );
}

/** The life of the journal that goes on now. */
function standOfKept({ lives, profiles }: KeptJournal) {
  const life = lives.filter(({ entries }) => entries.length > 0).at(-1);
  const dated = life === undefined ? [] : dateEntries(life.entries, life.life);
  return standOf(recordOf(withSoundTimes(dated), profiles));
}

async function away(context: Context, options: Options, [typed = '']: readonly string[]) {
  const { units, style } = context;
  const hours = askedH(typed);
  const kept = await newestJournal(context, options);
  const status = kept.pulled ? await (await context.client()).call('status.read', {}) : null;
  const stand = standOfKept(kept);
  const { record } = stand;
  const endUnixMs = unixOf(record, record.toMs);
  // Without a clock it ends when it was pulled.
  const endMs = kept.pulled ? kept.nowMs : (endUnixMs ?? kept.pulledMs ?? kept.nowMs);
  const ageMs = Math.max(0, kept.nowMs - endMs);
  const nowUnixMs = status?.unixMs ?? kept.nowMs;
  if (ageMs > STALE_H * HOUR_MS) {
    throw refused(
      'journal-old',
      `The journal kept here ends ${localTime(endMs)}: too long ago to tell how the tray stands now.`,
      'Do `trayward journal pull` beside the controller, then ask again.',
    );
  }
  const found = forecastOf(stand, record.toMs, status);
  if (!found.ok) throw refused(found.why, ...WHY_NOT[found.why]);
  const answer = answerOf(stand, found.forecast, obstaclesOf(stand, status), {
    ...{ askedH: hours, nowMs: record.toMs + ageMs, nowUnixMs, units },
  });
  const age = formatQuantity('duration', Math.round(ageMs / MINUTE_MS) * 60, units);
  return {
    result: {
      boardId: kept.boardId,
      pulled: kept.pulled,
      journalEndUnixMs: endUnixMs === null ? null : Math.round(endUnixMs),
      ageS: Math.round(ageMs / 1000),
      ...answer,
    },
    text: awayText(answer, {
      ...{ style, units, nowUnixMs },
      by: kept.pulled
        ? 'the controller, just now'
        : `the journal kept here, which ends ${age} ago; the controller did not answer`,
    }),
  };
}

export function register(noun: Command, act: Act): void {
  noun
    .argument('<duration>', 'for how long: 6d, 36h, "2 weeks"')
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, away));
}
