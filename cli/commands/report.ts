/** `report`: the story of a tray as one page that asks no network for anything. */
import type { Command } from 'commander';
import { moment } from '../arguments/moment';
import { given, number, type OptionsOf, typedText } from '../arguments/options';
import { twoSeasons } from '../arguments/season';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { type KeptJournal, newestJournal } from '../journal/newest';
import { refuseBackwards } from '../journal/stored';
import type { Answers, Report } from '../report/model';
import { reportOf } from '../report/of-journal';
import { localTime } from '../terminal/local-time';
import { type Fact, facts, wrap } from '../terminal/output';
import { compare } from './report-compare';
import { refuseMixed, refuseTaken, write } from './report-files';

/** The largest mats for trays take some hundred watts; more is a slip. */
const MAT_MAX_W = 1_000;
const TARIFF_MAX = 100;

const OPTIONS = {
  out: typedText,
  svg: typedText,
  compare: twoSeasons,
  since: moment,
  until: moment,
  mat: number(1, MAT_MAX_W, 'watts'),
  tariff: number(0, TARIFF_MAX),
  force: given,
  store: typedText,
  controller: typedText,
};
type Options = OptionsOf<typeof OPTIONS>;

/** A name by the day, so that yesterday's report is kept. */
const usualName = (nowMs: number): string => `report-${localTime(nowMs).slice(0, 10)}.html`;

/** What tells of one season alone says nothing of two. */
const OF_ONE = ['svg', 'since', 'until', 'mat', 'tariff', 'controller'] as const;

function refuseStray(options: Options): void {
  const stray = OF_ONE.find((name) => options[name] !== null);
  if (stray === undefined) return;
  throw usage(
    `--${stray} is for the report of one season, and --compare tells of two.`,
    'Leave one of them away. A season is named by its controller, or a day: @2026-03-20.',
  );
}

/** What can be told to be wrong before any journal is looked for. */
function refuseWrong(options: Options, nowMs: number): void {
  const { out, svg, force, tariff, mat } = options;
  refuseBackwards(options, nowMs);
  if (tariff !== null && mat === null)
    throw usage('--tariff needs the power of the mat.', 'Add --mat with the watts on its label.');
  refuseMixed(out, svg);
  if (out !== null) refuseTaken('--out', out, force);
  if (svg !== null) refuseTaken('--svg', svg, force);
}

async function report(context: Context, options: Options) {
  if (options.compare !== null) {
    refuseStray(options);
    return compare(context, options.compare, options);
  }
  refuseWrong(options, context.world.now());
  return reportKept(context, await newestJournal(context, options), options);
}

type OfOne = Pick<Options, 'out' | 'svg' | 'since' | 'until' | 'mat' | 'tariff' | 'force'>;

/** The report of a journal that is there already. */
export async function reportKept(context: Context, kept: KeptJournal, options: OfOne) {
  const { units } = context;
  const { svg, force } = options;
  const { boardId, pulled, lives, profiles, damaged, nowMs } = kept;
  // Who asks for the picture has asked for no page.
  const out = options.out ?? (svg === null ? usualName(nowMs) : null);
  if (out !== null) refuseTaken('--out', out, force);
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
  const page = out === null ? null : { out, text: await pageText(made) };
  const picture = svg === null ? null : { out: svg, text: await pictureText(made) };
  const files = [page, picture].flatMap((file) => file ?? []);
  for (const file of files) write(file.out, file.text, force);
  const bytesOf = (file: { text: string } | null) =>
    file === null ? null : Buffer.byteLength(file.text);
  return {
    result: {
      out,
      bytes: bytesOf(page),
      svg,
      svgBytes: bytesOf(picture),
      boardId,
      pulled,
      period: made.period,
      incidents: made.incidents.length,
      answers: made.answers,
      unknown: made.unknown,
      damaged,
    },
    text: told(made, out, svg, context),
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

/** So is what draws it alone. */
const pictureText = async (made: Report): Promise<string> =>
  (await import('../report/plot/alone')).aloneOf(made);

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
  'not-sown': 'not sown',
};

/** The first lines of each answer; the page has the rest. */
function told(
  { answers, period }: Report,
  out: string | null,
  svg: string | null,
  { style }: Context,
): string {
  const first = (lines: Answers['happened']): string => lines[0]?.says ?? '';
  const list: readonly Fact[] = [
    { label: 'Time', value: period },
    { label: 'Happened', value: first(answers.happened) },
    { label: 'Plants', value: first(answers.plants) },
    { label: 'To do', value: first(answers.next) },
    { label: 'Leave again', value: LEAVE[answers.leave], note: first(answers.leaveWhy) },
  ];
  const written = [
    ...(out === null ? [] : [`${out} is written: open it with any browser; it needs no network.`]),
    ...(svg === null
      ? []
      : [`${svg} is written: a picture to mail, to print, or to put in a page.`]),
  ];
  return [facts(list, style), ...written.map((says) => wrap(says, style.width))].join('\n');
}

export function register(noun: Command, act: Act): void {
  noun
    .option('--out <file>', 'page to write (default: report-DATE.html in this folder)')
    .option('--svg <file>', 'the plots as a picture, to mail or print; no page then, but by --out')
    .option(
      '--compare <season...>',
      'two seasons side by side from sowing on, each named by its controller, or a day: @2026-03-20',
    )
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
