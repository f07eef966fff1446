/** `fleet check|migrate|collect|status|alarms|report|compare`: the journals of many rooms in one database. */
import type { Command } from 'commander';
import type { Client } from 'pg';
import { moment } from '../arguments/moment';
import { given, needed, type OptionsOf, type Reader, typedText, whole } from '../arguments/options';
import { type SeasonName, seasonNamed } from '../arguments/season';
import type { Act, Answer, Context } from '../context';
import { CommandError, usage } from '../failure';
import { readFleet } from '../fleet/config/check';
import { FLEET_EXAMPLE } from '../fleet/config/example';
import type { KeptJournal } from '../journal/newest';
import { refuseBackwards } from '../journal/stored';
import { wrap } from '../terminal/output';
import { refuseTaken } from './report-files';

const FILE = "the fleet's file, such as fleet.yaml";
const TRAY = 'name of the tray, or the digits of its controller';
const MOST = 1_000;
const SHOWN = 20;

const NAME = /^[a-z0-9][a-z0-9-]{0,39}$/;

/** Of a collector, as a broker shows it. */
const collectorName: Reader<string | null> = (typed, flag) => {
  if (typeof typed !== 'string') return null;
  if (NAME.test(typed)) return typed;
  throw usage(`${flag} ${typed} is no name.`, 'Small letters, digits and hyphens, 40 at most.');
};

const shown = needed(whole(1, MOST));
const CHECK = { example: given };
const COLLECT = { name: collectorName, untilStdinCloses: given };
const STATUS = { most: shown };
const ALARMS = { most: shown, tray: typedText };
const REPORT = { out: typedText, since: moment, until: moment, force: given };
const COMPARE = { out: typedText, force: given };

async function check(context: Context, options: OptionsOf<typeof CHECK>, file?: string) {
  if (options.example) return { result: { example: FLEET_EXAMPLE }, text: FLEET_EXAMPLE.trimEnd() };
  const plan = readFleet(file, context.world.env);
  const { reach } = await import('../fleet/reach');
  const reached = await reach(plan);
  return {
    result: { file: plan.file, ...reached },
    text: wrap(
      `${file} is in order; the broker lets us in${reached.roles.length === 0 ? '' : `, and the database as ${reached.roles.join(', ')}`}.`,
      context.style.width,
    ),
  };
}

async function migrate(context: Context, file?: string) {
  const plan = readFleet(file, context.world.env);
  const { migrate: bring } = await import('../fleet/database/migrate');
  const { inPlainWords } = await import('../fleet/failure');
  const result = await inPlainWords(() => bring(plan.database));
  const { from, to } = result;
  const text =
    from === to
      ? `The tables are those of version ${to} already.`
      : `The tables are brought from version ${from} to ${to}.`;
  return { result, text };
}

async function collect(context: Context, options: OptionsOf<typeof COLLECT>, file?: string) {
  const plan = readFleet(file, context.world.env);
  return (await import('../fleet/collect/collector')).collect(context, plan, options);
}

/** What is asked of the database, as one who may only read. */
async function asReader<T>(
  context: Context,
  file: string | undefined,
  work: (client: Client) => Promise<T>,
): Promise<T> {
  const { database } = readFleet(file, context.world.env);
  const { openDatabase, databaseError } = await import('../fleet/database/connect');
  const { inPlainWords } = await import('../fleet/failure');
  return inPlainWords(async () => {
    const client = await openDatabase(database, 'reader');
    context.atEnd(() => client.end().catch(() => undefined));
    try {
      return await work(client);
    } catch (error) {
      throw error instanceof CommandError ? error : databaseError(database, 'reader', error);
    }
  });
}

async function status(context: Context, { most }: OptionsOf<typeof STATUS>, file?: string) {
  const { fleetStatusOf } = await import('../fleet/queries/status');
  const { statusText } = await import('../fleet/queries/text');
  const nowMs = context.world.now();
  const result = await asReader(context, file, (client) => fleetStatusOf(client, most, nowMs));
  return { result, text: statusText(result, context.style, context.units) };
}

async function alarms(context: Context, options: OptionsOf<typeof ALARMS>, file?: string) {
  const { fleetAlarmsOf } = await import('../fleet/queries/alarms');
  const { alarmsText } = await import('../fleet/queries/text');
  const { controllerNamed } = await import('../fleet/queries/journal');
  const result = await asReader(context, file, async (client) => {
    const { tray, most } = options;
    const boardId = tray === null ? null : await controllerNamed(client, tray);
    return fleetAlarmsOf(client, { boardId, most, nowMs: context.world.now() });
  });
  return { result, text: alarmsText(result, context.style), isLong: true };
}

/** The journals of some trays, each by the name that was typed. */
async function journals(
  context: Context,
  file: string | undefined,
  names: readonly string[],
): Promise<readonly KeptJournal[]> {
  const { controllerNamed, journalOf } = await import('../fleet/queries/journal');
  return asReader(context, file, async (client) => {
    const kept: KeptJournal[] = [];
    for (const name of names) {
      const boardId = await controllerNamed(client, name);
      kept.push(await journalOf(client, boardId, context.world.now()));
    }
    return kept;
  });
}

async function report(
  context: Context,
  options: OptionsOf<typeof REPORT>,
  [file, tray = '']: readonly string[],
): Promise<Answer> {
  const { reportKept } = await import('./report');
  refuseBackwards(options, context.world.now());
  if (options.out !== null) refuseTaken('--out', options.out, options.force);
  const [kept] = await journals(context, file, [tray]);
  if (kept === undefined) throw new Error('no journal');
  return reportKept(context, kept, { ...options, svg: null, mat: null, tariff: null });
}

async function compare(
  context: Context,
  options: OptionsOf<typeof COMPARE>,
  [file, first = '', second = '']: readonly string[],
): Promise<Answer> {
  const { compareKept } = await import('./report-compare');
  if (options.out !== null) refuseTaken('--out', options.out, options.force);
  const named = [fleetSeason(first), fleetSeason(second)] as const;
  const [a, b] = await journals(
    context,
    file,
    named.map(({ tray }) => tray),
  );
  if (a === undefined || b === undefined) throw new Error('no journals');
  return compareKept(context, [a, b], [named[0].season, named[1].season], options);
}

/** `Pepper`, `Pepper@2026-03-20`, or the digits of a controller in its place. */
function fleetSeason(typed: string): { readonly tray: string; readonly season: SeasonName } {
  const [, tray = typed, rest = ''] =
    /^(.*?)((?:\/\d{1,4})?(?:@\d{4}-\d\d-\d\d)?)$/.exec(typed) ?? [];
  const open: SeasonName = { boardId: null, life: null, day: null };
  return { tray, season: rest === '' ? open : seasonNamed(rest, 'A season') };
}

export function register(noun: Command, act: Act): void {
  noun
    .command('check')
    .argument('[file]', FILE)
    .option('--example', 'print one to start from')
    .description('say everything that is wrong with a file; if nothing is, try broker and database')
    .action(act(CHECK, (context, options, [file]) => check(context, options, file)));
  noun
    .command('migrate')
    .argument('<file>', FILE)
    .description('make the tables, or bring them to this version, as their owner')
    .action(act({}, (context, _options, [file]) => migrate(context, file)));
  noun
    .command('collect')
    .argument('<file>', FILE)
    .option('--name <name>', "of this collector among others (default: this computer's)")
    .option('--until-stdin-closes', 'end when standard input does, for programs')
    .description('write what keepers send into the database, until Ctrl-C')
    .action(act(COLLECT, (context, options, [file]) => collect(context, options, file)));
  noun
    .command('status')
    .argument('<file>', FILE)
    .option('--most <n>', 'trays to list', String(SHOWN))
    .description('how many trays there are, and which to look at first')
    .action(act(STATUS, (context, options, [file]) => status(context, options, file)));
  noun
    .command('alarms')
    .argument('<file>', FILE)
    .option('--tray <tray>', `of one alone: ${TRAY}`)
    .option('--most <n>', 'alarms to list', String(SHOWN))
    .description('what stands at which tray, the most urgent first')
    .action(act(ALARMS, (context, options, [file]) => alarms(context, options, file)));
  noun
    .command('report')
    .argument('<file>', FILE)
    .argument('<tray>', TRAY)
    .option('--out <file>', 'page to write (default: report-DATE.html in this folder)')
    .option('--since <time>', 'from this time on (default: since this crop was sown)')
    .option('--until <time>', 'up to this time (default: the end of the journal)')
    .option('--force', 'write over a file that is there already')
    .description('the story of one tray as a page, as `report` has it')
    .action(act(REPORT, (context, options, args) => report(context, options, args)));
  noun
    .command('compare')
    .argument('<file>', FILE)
    .argument('<one>', `${TRAY}, and a day on which the season stood there: Pepper@2026-03-20`)
    .argument('<other>', 'the same of the other')
    .option('--out <file>', 'page to write (default: compare-DATE.html in this folder)')
    .option('--force', 'write over a file that is there already')
    .description('two seasons side by side from sowing on, as `report --compare` has them')
    .action(act(COMPARE, (context, options, args) => compare(context, options, args)));
}
