/** When the seed on the tray was sown, as the controller knows it. */
import type { Context } from '../context';
import { refused } from '../failure';
import { dateEntries } from '../journal/dating';
import { pullJournal } from '../journal/pull';
import { notePulled, openStore, readStore } from '../journal/store';

/**
 * Unix ms. From the run time while the first stage runs, else from the mark in the journal, which is pulled for
 * that. Refused before sowing, and where the mark has no date.
 */
export async function sownMsOf(context: Context, store: string): Promise<number> {
  const client = await context.client();
  const { boardId } = client.hello;
  const { stage } = await client.call('status.read', {});
  if (stage === null) {
    throw refused(
      'not-sown',
      'Nothing was sown here as far as the controller knows.',
      'Mark it first, `trayward mark sown`, or say when with --sown.',
    );
  }
  if (stage.index === 0) return (await context.world.nowAt(client.port)) - stage.runS * 1000;
  const open = openStore(store, boardId);
  try {
    await pullJournal(client, open, () => {});
    notePulled(store, boardId, context.world.now());
  } finally {
    open.close();
  }
  const sown = readStore(store, boardId)
    .flatMap(({ life, entries }) => dateEntries(entries, life))
    .filter(({ entry }) => entry.kind === 'mark' && entry.mark === 'sown')
    .at(-1);
  if (sown !== undefined && sown.unixMs !== null) return sown.unixMs;
  throw refused(
    'sowing-not-dated',
    'The journal does not tell when this tray was sown.',
    'Say it with --sown, such as --sown 2026-03-01.',
  );
}
