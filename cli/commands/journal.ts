/** `journal pull|show|export`: what happened, kept on the laptop. */
import type { Command } from 'commander';
import { JOURNAL_KINDS } from '../../shared/journal/codec';
import type { JournalEntry, JournalKind } from '../../shared/journal/kinds';
import { PROFILE_LIMITS } from '../../shared/profile/limits';
import { choose } from '../arguments/choice';
import { moment } from '../arguments/moment';
import { given, type OptionsOf, type Reader, typedText, whole } from '../arguments/options';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { writeOver } from '../files/atomic-write';
import { asCsv } from '../journal/csv';
import { type DatedEntry, dateEntries, within } from '../journal/dating';
import { describeEntry } from '../journal/describe';
import { wholeNotes } from '../journal/notes';
import { storeFolder } from '../journal/places';
import { pullInto } from '../journal/pull-into';
import { readStore } from '../journal/store';
import { controllerOf, damagedText, refuseBackwards } from '../journal/stored';
import { localTime } from '../terminal/local-time';
import { wrap } from '../terminal/output';

/** More than any store holds. */
const LAST_MAX = 1_000_000;

function newEntries(count: number): string {
  if (count === 0) return 'There is nothing new.';
  return count === 1 ? '1 new entry is stored.' : `${count} new entries are stored.`;
}

function registerPull(noun: Command, act: Act): void {
  noun
    .command('pull')
    .description('fetch what is new from the controller and keep it')
    .option('--store <folder>', 'where journals are kept')
    .action(
      act({ store: typedText }, async (context, options) => {
        const client = await context.client();
        const { boardId } = client.hello;
        const store = storeFolder(options.store, context.world.env);
        const progress = await context.progress('Pulling', 0);
        try {
          const report = await pullInto(context, client, store, progress.update);
          const missing =
            report.missing > 0 ? ` ${report.missing} were gone before this pull.` : '';
          const text = newEntries(report.stored) + missing;
          return { result: { boardId, ...report }, text };
        } finally {
          progress.stop();
        }
      }),
    );
}

const entryKind: Reader<JournalKind | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const none = `There is no kind of entry "${typed}".`;
  return choose(JOURNAL_KINDS, typed, none, `Kinds are: ${JOURNAL_KINDS.join(', ')}.`);
};

const FORMATS = ['csv', 'jsonl', 'parquet'] as const;

const format: Reader<(typeof FORMATS)[number]> = (typed) =>
  choose(
    FORMATS,
    String(typed),
    `There is no format "${typed}".`,
    'Use --format csv, jsonl or parquet.',
  );

/** Which entries: see `withChoices`. */
const CHOICES = {
  store: typedText,
  controller: typedText,
  since: moment,
  until: moment,
  kind: entryKind,
  alarms: given,
  stage: whole(1, PROFILE_LIMITS.stagesMax),
  last: whole(1, LAST_MAX),
};
type Choices = OptionsOf<typeof CHOICES>;

interface Chosen {
  readonly entries: readonly DatedEntry[];
  /** Entries left out because the disk has spoilt them, of the whole journal. */
  readonly damaged: number;
}

/** The stored entries that the options ask for, oldest first. `isMeant`: by the kind that was asked for, null for none. */
function chosen(
  context: Context,
  options: Choices,
  isMeant: (entry: JournalEntry, kind: JournalKind | null) => boolean,
): Chosen {
  const { stage, last } = options;
  refuseBackwards(options, context.world.now());
  const kind = options.alarms ? 'alarm' : options.kind;
  const store = storeFolder(options.store, context.world.env);
  const lives = readStore(store, controllerOf(options.controller, store));
  const damaged = lives.reduce((sum, life) => sum + life.damaged, 0);
  if (damaged > 0) context.caution(damagedText(damaged, store));
  const dated = wholeNotes(lives.flatMap(({ life, entries: ofLife }) => dateEntries(ofLife, life)));
  // A bench's days may have run ahead of this laptop's: "yesterday" is one of the tray.
  const nowMs = Math.max(context.world.now(), dated.at(-1)?.unixMs ?? 0);
  const since = options.since?.(nowMs) ?? null;
  const until = options.until?.(nowMs) ?? null;
  const entries = dated
    .filter((one) => within(one, since, until))
    .filter(({ entry }) => isMeant(entry, kind))
    .filter(({ entry }) => stage === null || ('stage' in entry && entry.stage === stage - 1));
  return { entries: last === null ? entries : entries.slice(-last), damaged };
}

/** Local date and time to the second, or boot and uptime while the clock was never set. */
function when({ entry, unixMs }: DatedEntry): string {
  if (unixMs === null) return `boot ${entry.boot} +${Math.round(entry.uptimeMs / 1000)} s`;
  return localTime(unixMs);
}

function withChoices(command: Command): Command {
  return command
    .option('--store <folder>', 'where journals are kept')
    .option('--controller <id>', 'whose journal (default: the one pulled last)')
    .option(
      '--since <time>',
      'from this time on: 2026-03-01, 2026-03-01T14:30, yesterday, 12h (ago)',
    )
    .option('--until <time>', 'up to this time')
    .option('--kind <kind>', 'only this kind, such as dose, alarm, stage, mark, trace')
    .option('--alarms', 'alarms only')
    .option('--stage <number>', 'only this stage')
    .option('--last <count>', 'only so many, the newest');
}

/** What `mark` and `seed count` write: who asks for marks wants all of it. */
const MARKED: readonly JournalKind[] = ['mark', 'refill', 'note', 'count'];

/** Traces are shown where they are asked for. */
function isShown(entry: JournalEntry, kind: JournalKind | null): boolean {
  if (kind === null) return entry.kind !== 'trace';
  return kind === 'mark' ? MARKED.includes(entry.kind) : entry.kind === kind;
}

function registerShow(noun: Command, act: Act): void {
  const says =
    'the journal as sentences, oldest first; traces, the dense readings, by --kind trace; all that you told by --kind mark';
  withChoices(noun.command('show').description(says)).action(
    act(CHOICES, async (context, options) => {
      const { entries, damaged } = chosen(context, options, isShown);
      const { rowWidth } = context.style;
      const lines = entries.map((dated) => {
        const time = `${when(dated)}  `;
        return wrap(time + describeEntry(dated.entry, context.units), rowWidth, time.length);
      });
      const text = lines.length === 0 ? 'Nothing in the journal fits.' : lines.join('\n');
      return { result: { entries, damaged }, text, isLong: true };
    }),
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

/** What a file of that format has in it; bytes where it is no text. Loaded only when it is asked for. */
async function contentOf(
  asked: (typeof FORMATS)[number],
  entries: readonly DatedEntry[],
  kind: JournalKind | null,
): Promise<string | Uint8Array> {
  if (asked === 'csv') return asCsv(entries, kind);
  if (asked === 'jsonl') return asJsonLines(entries);
  return (await import('../journal/parquet')).asParquet(entries, kind);
}

function registerExport(noun: Command, act: Act): void {
  withChoices(
    noun.command('export').description('all of it as CSV (RFC 4180), JSON lines or Parquet'),
  )
    .option('--format <format>', 'csv, jsonl or parquet', 'csv')
    .option('--out <file>', 'file to write (default: standard output)')
    .action(
      act({ ...CHOICES, format, out: typedText }, async (context, options) => {
        const { out, format: asked } = options;
        if (asked === 'parquet' && out === null)
          throw usage(
            'Parquet is no text that could be shown here.',
            'Name the file to write: --out journal.parquet.',
          );
        const { entries, damaged } = chosen(
          context,
          options,
          (entry, kind) => kind === null || entry.kind === kind,
        );
        const content = await contentOf(asked, entries, options.alarms ? 'alarm' : options.kind);
        const told = { format: asked, count: entries.length, damaged };
        if (out === null) {
          const text = String(content);
          return { result: { ...told, text }, text: text.trimEnd() };
        }
        writeOver(out, content);
        return {
          result: { ...told, out },
          text: `${entries.length === 1 ? '1 entry is' : `${entries.length} entries are`} in ${out}.`,
        };
      }),
    );
}

export function register(noun: Command, act: Act): void {
  registerPull(noun, act);
  registerShow(noun, act);
  registerExport(noun, act);
}
