/** `report`: the story of a tray as one page that asks no network for anything. */
import { existsSync } from 'node:fs';
import type { Command } from 'commander';
import { moment } from '../arguments/moment';
import { given, number, type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { writeNew, writeOver } from '../files/atomic-write';
import { newestJournal } from '../journal/newest';
import { refuseBackwards } from '../journal/stored';
import type { Answers, Report } from '../report/model';
import { reportOf } from '../report/of-journal';
import { localTime } from '../terminal/local-time';
import { type Fact, facts, wrap } from '../terminal/output';

/** The largest mats for trays take some hundred watts; more is a slip. */
const MAT_MAX_W = 1_000;
const TARIFF_MAX = 100;

const OPTIONS = {
  out: typedText,
  since: moment,
  until: moment,
  mat: number(1, MAT_MAX_W, 'watts'),
  tariff: number(0, TARIFF_MAX),
  force: given,
  store: typedText,
  controller: typedText,
};
type Options = OptionsOf<typeof OPTIONS>;

/** Refused before any work is done; it is looked at again when the page is written. */
function refuseTaken(out: string, force: boolean): void {
  if (force || !existsSync(out)) return;
  throw refused(
    'file-exists',
    `${out} is there already, and stays as it is.`,
    'Name another file with --out, or write over it with --force.',
  );
}

/** A name by the day, so that yesterday's report is kept. */
const usualName = (nowMs: number): string => `report-${localTime(nowMs).slice(0, 10)}.html`;

async function report(context: Context, options: Options) {
  const { world, units } = context;
  refuseBackwards(options, world.now());
  if (options.tariff !== null && options.mat === null)
    throw usage('--tariff needs the power of the mat.', 'Add --mat with the watts on its label.');
  if (options.out !== null) refuseTaken(options.out, options.force);
  const { boardId, pulled, lives, profiles, damaged, nowMs } = await newestJournal(
    context,
    options,
  );
  const out = options.out ?? usualName(nowMs);
  refuseTaken(out, options.force);
  const made = reportOf(lives, profiles, {
    boardId,
    sinceMs: options.since?.(nowMs) ?? null,
    untilMs: options.until?.(nowMs) ?? null,
    nowMs,
    units,
    offsetMin: -new Date(nowMs).getTimezoneOffset(),
    matW: options.mat,
    tariff: options.tariff,
  });
  if (made === null) throw nothingThere(lives.some(({ entries }) => entries.length > 0));
  const text = await pageText(made);
  if (options.force) writeOver(out, text);
  else writeNew(out, text);
  return {
    result: {
      out,
      bytes: Buffer.byteLength(text),
      boardId,
      pulled: pulled,
      period: made.period,
      incidents: made.incidents.length,
      answers: made.answers,
      unknown: made.unknown,
      damaged,
    },
    text: told(made, out, context),
  };
}

/** Loaded only now: the page brings its own program with it. */
async function pageText(made: Report): Promise<string> {
  const [{ pageOf }, { default: script }] = await Promise.all([
    import('../report/page/page'),
    import('trayward:page-script'),
  ]);
  return pageOf(made, script);
}

const nothingThere = (isSome: boolean) =>
  refused(
    'nothing-there',
    isSome
      ? 'The journal has no entry in this time: there is nothing to report.'
      : 'The stored journal has no entry yet: there is nothing to report.',
    isSome
      ? 'See `trayward journal show` for what there is, and set --since and --until by it.'
      : 'Do `trayward journal pull` when the controller has run for a while.',
  );

const LEAVE: Readonly<Record<Answers['leave'], string>> = {
  'not-yet': 'not yet',
  'look-first': 'look first',
  'nothing-against': 'nothing in the journal speaks against it',
};

/** The first lines of each answer; the page has the rest. */
function told({ answers, period }: Report, out: string, { style }: Context): string {
  const first = (lines: Answers['happened']): string => lines[0]?.says ?? '';
  const list: readonly Fact[] = [
    { label: 'Time', value: period },
    { label: 'Happened', value: first(answers.happened) },
    { label: 'Plants', value: first(answers.plants) },
    { label: 'To do', value: first(answers.next) },
    { label: 'Leave again', value: LEAVE[answers.leave], note: first(answers.leaveWhy) },
  ];
  return `${facts(list, style)}\n${wrap(`${out} is written: open it with any browser; it needs no network.`, style.width)}`;
}

export function register(noun: Command, act: Act): void {
  noun
    .option('--out <file>', 'page to write (default: report-DATE.html in this folder)')
    .option(
      '--since <time>',
      'from this time on: yesterday, "2 weeks", 2026-03-01 (default: since this crop was sown)',
    )
    .option('--until <time>', 'up to this time (default: the end of the journal)')
    .option('--mat <watts>', 'power of the mat, as on its label: tells the energy it took')
    .option('--tariff <price>', 'price of a kWh, in your own money')
    .option('--force', 'write over a file that is there already')
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, report));
}
