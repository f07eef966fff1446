/** A pull into the store, with all that belongs to it: entries, the profiles they speak of, and when it was. */
import type { Context } from '../context';
import type { Client } from '../link/client';
import { keepProfiles } from './profiles';
import { type PullReport, pullJournal } from './pull';
import { notePulled, type OpenStore, openStore } from './store';

type OnProgress = (done: number, total: number) => void;

/** Pulls what is new from the controller behind `client`. Refused while another pull of it is under way. */
export async function pullInto(
  context: Context,
  client: Client,
  store: string,
  onProgress: OnProgress,
): Promise<PullReport> {
  const open = openStore(store, client.hello.boardId);
  context.atEnd(() => open.close());
  return pullFrom(client, { store, open, nowMs: context.world.now(), onProgress });
}

/** The same outside a command: the store is given back at once. */
export async function pullOnce(client: Client, store: string, nowMs: number): Promise<PullReport> {
  const open = openStore(store, client.hello.boardId);
  try {
    return await pullFrom(client, { store, open, nowMs, onProgress: () => {} });
  } finally {
    open.close();
  }
}

interface Into {
  readonly store: string;
  readonly open: OpenStore;
  readonly nowMs: number;
  readonly onProgress: OnProgress;
}

async function pullFrom(client: Client, into: Into): Promise<PullReport> {
  const { boardId } = client.hello;
  const report = await pullJournal(client, into.open, into.onProgress);
  await keepProfiles(client, into.store, boardId);
  notePulled(into.store, boardId, into.nowMs);
  return report;
}
