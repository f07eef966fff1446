/** A pull into the store, with all that belongs to it: entries, the profiles they speak of, and when it was. */
import type { Context } from '../context';
import type { Client } from '../link/client';
import { keepProfiles } from './profiles';
import { type PullReport, pullJournal } from './pull';
import { notePulled, openStore } from './store';

/** Pulls what is new from the controller behind `client`. Refused while another pull of it is under way. */
export async function pullInto(
  context: Context,
  client: Client,
  store: string,
  onProgress: (done: number, total: number) => void,
): Promise<PullReport> {
  const { boardId } = client.hello;
  const open = openStore(store, boardId);
  context.atEnd(() => open.close());
  const report = await pullJournal(client, open, onProgress);
  await keepProfiles(client, store, boardId);
  notePulled(store, boardId, context.world.now());
  return report;
}
