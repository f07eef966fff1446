/** The newest of a journal for a command that tells of it: pulled first where a controller answers, else what is stored. */

import type { Context } from '../context';
import { CommandError } from '../failure';
import { LinkError } from '../link/client';
import { dateEntries } from './dating';
import { storeFolder } from './places';
import { type KnownProfiles, keptProfiles } from './profiles';
import { pullInto } from './pull-into';
import { readStore, type StoredLife, storedControllers } from './store';
import { controllerOf, damagedText } from './stored';

interface Fetched {
  /** Whose journal was pulled just now; null when nobody answered. */
  readonly boardId: string | null;
  readonly activeId: number | null;
}

const NOBODY: Fetched = { boardId: null, activeId: null };

/** Whether a failure only means that no controller is to be had now: then the store tells what it has. */
const isNobodyThere = (error: unknown): boolean =>
  error instanceof LinkError ||
  (error instanceof CommandError &&
    (error.kind === 'no-controller' || error.reason === 'several-found'));

/** Pulls first, without a word, where the controller that is asked for answers. */
async function fetchQuietly(
  context: Context,
  asked: string | null,
  store: string,
): Promise<Fetched> {
  try {
    const client = await context.client();
    const { boardId } = client.hello;
    if (asked !== null && asked !== boardId) return NOBODY;
    await pullInto(context, client, store, () => {});
    const { slots } = await client.call('profile.slots', {});
    return { boardId, activeId: slots.find(({ active }) => active)?.id ?? null };
  } catch (error) {
    // A port that was named and does not answer is a mistake to be told, unless there is a journal to go by.
    const kept = storedControllers(store);
    if (isNobodyThere(error) && (kept.length > 0 || context.port === null)) return NOBODY;
    throw error;
  }
}

/** The end of what is known: a bench's days may have run ahead of this laptop's. */
function lastMs(lives: readonly StoredLife[], nowMs: number): number {
  const last = lives.at(-1);
  const dated = last === undefined ? [] : dateEntries(last.entries, last.life);
  return Math.max(nowMs, dated.at(-1)?.unixMs ?? 0);
}

/** A journal to tell of. */
export interface KeptJournal {
  readonly boardId: string;
  /** Whether a controller answered just now. */
  readonly pulled: boolean;
  /** When it was pulled last, Unix ms; null where that was not kept. */
  readonly pulledMs: number | null;
  readonly lives: readonly StoredLife[];
  readonly profiles: KnownProfiles;
  /** Entries that the disk has spoilt; the grower has been told. */
  readonly damaged: number;
  readonly nowMs: number;
}

/** The journal of the controller asked for, of the one that answers, or of the one pulled last. Refused when none is kept. */
export async function newestJournal(
  context: Context,
  asked: { readonly store: string | null; readonly controller: string | null },
): Promise<KeptJournal> {
  const { world } = context;
  const store = storeFolder(asked.store, world.env);
  const fetched = await fetchQuietly(context, asked.controller, store);
  const boardId = controllerOf(asked.controller ?? fetched.boardId, store);
  const lives = readStore(store, boardId);
  const damaged = lives.reduce((sum, life) => sum + life.damaged, 0);
  if (damaged > 0) context.caution(damagedText(damaged, store));
  return {
    boardId,
    pulled: fetched.boardId !== null,
    pulledMs: storedControllers(store).find((one) => one.boardId === boardId)?.pulledMs ?? null,
    lives,
    profiles: { byId: keptProfiles(store, boardId), activeId: fetched.activeId },
    damaged,
    nowMs: lastMs(lives, world.now()),
  };
}
