/** `journal export`: the journal as tables for a spreadsheet, as lines or as a columnar file for programs. */
import { statSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import type { Command } from 'commander';
import type { JournalKind } from '../../shared/journal/kinds';
import { choose } from '../arguments/choice';
import { given, type Reader, typedText } from '../arguments/options';
import type { Act, Answer, Context } from '../context';
import { usage } from '../failure';
import { writeNew, writeOver } from '../files/atomic-write';
import { asCsv, isOn, type Sheet } from '../journal/csv';
import type { DatedEntry } from '../journal/dating';
import { CHOICES, type Choices, chosen, withChoices } from './journal-choices';
import { refuseTaken } from './report-files';

const FORMATS = ['csv', 'jsonl', 'parquet'] as const;
type Format = (typeof FORMATS)[number];

const format: Reader<Format | null> = (typed) =>
  typed === undefined
    ? null
    : choose(
        FORMATS,
        String(typed),
        `There is no format "${typed}".`,
        'Use --csv, --jsonl or --parquet.',
      );

const OPTIONS = {
  ...CHOICES,
  ...{ csv: given, jsonl: given, parquet: given, format, out: typedText, force: given },
};
interface Options extends Choices {
  readonly csv: boolean;
  readonly jsonl: boolean;
  readonly parquet: boolean;
  readonly format: Format | null;
  readonly out: string | null;
  readonly force: boolean;
}

/** The one format that is asked for, by its switch or by its name; CSV where none is. Refuses two. */
function formatOf(options: Options): Format {
  const named = options.format === null ? [] : [options.format];
  const asked = new Set([...FORMATS.filter((one) => options[one]), ...named]);
  const [first = 'csv', second] = asked;
  if (second === undefined) return first;
  throw usage(
    `--${first} and --${second} are two formats, and one is written at a time.`,
    `Leave one of them away; then run it again with the other one.`,
  );
}

function asJsonLines(entries: readonly DatedEntry[]): string {
  return entries
    .map(({ entry, unixMs, life }) => {
      const time = unixMs === null ? null : new Date(unixMs).toISOString();
      return `${JSON.stringify({ time, life, ...entry })}\n`;
    })
    .join('');
}

/** A device or a pipe, which is written to and never over, and takes one table. */
function isStream(file: string): boolean {
  const there = statSync(file, { throwIfNoEntry: false });
  return there !== undefined && !there.isFile() && !there.isDirectory();
}

/** The table of events beside that of readings: `march.csv`, `march-events.csv`. */
function besides(out: string): string {
  const tail = extname(out);
  return join(dirname(out), `${basename(out, tail)}-events${tail}`);
}

function put(file: string, content: string | Uint8Array, force: boolean): void {
  if (force || isStream(file)) writeOver(file, content);
  else writeNew(file, content);
}

/** By this mark spreadsheets know UTF-8 (Unicode 15, 23.8); a pipe goes to a program, which may stumble over it. */
const BYTE_ORDER_MARK = '\ufeff';
const putTable = (file: string, text: string, force: boolean): void =>
  put(file, isStream(file) ? text : `${BYTE_ORDER_MARK}${text}`, force);

const counted = (count: number, one: string, many: string): string =>
  count === 1 ? `1 ${one} is` : `${count} ${many} are`;

const kindOf = ({ alarms, kind }: Choices): JournalKind | null => (alarms ? 'alarm' : kind);

/** Rows of a sheet, and how many of the entries stand in none that is written. */
function rowsOf(entries: readonly DatedEntry[], sheet: Sheet, last: number | null) {
  const rows = entries.filter(({ entry }) => isOn(sheet, entry.kind));
  return last === null ? rows : rows.slice(-last);
}

/** Readings, or the one kind that is asked for; beside readings in a file, events in another one. */
function exportCsv(context: Context, options: Options): Answer {
  const { out, last, force } = options;
  const kind = kindOf(options);
  const eventsOut = kind === null && out !== null && !isStream(out) ? besides(out) : null;
  for (const file of [out, eventsOut])
    if (file !== null && !isStream(file)) refuseTaken('--out', file, force);
  const { entries, damaged } = chosen(
    context,
    { ...options, last: null },
    (entry, asked) => asked === null || entry.kind === asked,
  );
  const sheet = kind ?? 'readings';
  const rows = rowsOf(entries, sheet, last);
  const events = kind === null ? rowsOf(entries, 'events', last) : [];
  const told = { format: 'csv', count: rows.length, damaged };
  if (eventsOut === null && events.length > 0) context.say(elsewhereText(events.length));
  const text = asCsv(rows, sheet);
  if (out === null) return { result: { ...told, left: events.length, text }, text: text.trimEnd() };
  putTable(out, text, force);
  if (eventsOut !== null) putTable(eventsOut, asCsv(events, 'events'), force);
  const [one, many] = kind === null ? ['reading', 'readings'] : ['entry', 'entries'];
  const beside =
    eventsOut === null ? '' : `, ${counted(events.length, 'event', 'events')} in ${eventsOut}`;
  return {
    result: {
      ...{ ...told, out },
      events: eventsOut === null ? null : { count: events.length, out: eventsOut },
    },
    text: `${counted(rows.length, one, many)} in ${out}${beside}.`,
  };
}

const elsewhereText = (count: number): string =>
  `${count === 1 ? '1 event is' : `${count} events are`} not in this table: with --out march.csv events go to march-events.csv; --kind dose prints one kind of them; --jsonl prints all.`;

/** All entries, in one file or printed. */
async function exportWhole(
  context: Context,
  options: Options,
  asked: 'jsonl' | 'parquet',
): Promise<Answer> {
  const { out, force } = options;
  if (asked === 'parquet' && out === null)
    throw usage(
      'Parquet is no text that could be shown here.',
      'Name the file to write: --out journal.parquet.',
    );
  if (out !== null && !isStream(out)) refuseTaken('--out', out, force);
  const { entries, damaged } = chosen(
    context,
    options,
    (entry, kind) => kind === null || entry.kind === kind,
  );
  const told = { format: asked, count: entries.length, damaged };
  if (out === null) {
    const text = asJsonLines(entries);
    return { result: { ...told, left: 0, text }, text: text.trimEnd() };
  }
  // Loaded only when it is asked for.
  const content =
    asked === 'jsonl'
      ? asJsonLines(entries)
      : (await import('../journal/parquet')).asParquet(entries, kindOf(options));
  put(out, content, force);
  return {
    result: { ...told, out, events: null },
    text: `${counted(entries.length, 'entry', 'entries')} in ${out}.`,
  };
}

export function registerExport(noun: Command, act: Act): void {
  withChoices(
    noun
      .command('export')
      .description(
        'readings, and events in a file of their own, as tables; or all of it for programs',
      ),
  )
    .option('--csv', 'tables for a spreadsheet (RFC 4180), which is what it writes unasked')
    .option('--parquet', 'one columnar file for programs')
    .option('--jsonl', 'a JSON object a line, as the controller has them; nothing is left out')
    .option('--format <format>', 'the same by name: csv, jsonl or parquet')
    .option(
      '--out <file>',
      'file to write; of --csv events go beside it, to FILE-events.csv (default: standard output, readings alone)',
    )
    .option('--force', 'write over a file that is there already')
    .action(
      act(OPTIONS, async (context, options) => {
        const asked = formatOf(options);
        return asked === 'csv' ? exportCsv(context, options) : exportWhole(context, options, asked);
      }),
    );
}
