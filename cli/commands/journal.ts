/** `journal pull|show|export`: what happened, kept on the laptop. */
import type { Command } from 'commander';
import type { JournalEntry, JournalKind } from '../../shared/journal/kinds';
import { typedText } from '../arguments/options';
import type { Act } from '../context';
import type { DatedEntry } from '../journal/dating';
import { describeEntry } from '../journal/describe';
import { storeFolder } from '../journal/places';
import { pullInto } from '../journal/pull-into';
import { localTime } from '../terminal/local-time';
import { wrap } from '../terminal/output';
import { CHOICES, chosen, withChoices } from './journal-choices';
import { registerExport } from './journal-export';

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

/** Local date and time to the second, or boot and uptime while the clock was never set. */
function when({ entry, unixMs }: DatedEntry): string {
  if (unixMs === null) return `boot ${entry.boot} +${Math.round(entry.uptimeMs / 1000)} s`;
  return localTime(unixMs);
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

export function register(noun: Command, act: Act): void {
  registerPull(noun, act);
  registerShow(noun, act);
  registerExport(noun, act);
}
