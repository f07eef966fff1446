/** The journal of one tray out of the database, as the commands of a single tray have it from the store of a laptop. */
import type { Client } from 'pg';
import { unpackEntry } from '../../../shared/journal/codec';
import type { JournalEntry } from '../../../shared/journal/kinds';
import { refused } from '../../failure';
import { dateEntries } from '../../journal/dating';
import type { KeptJournal } from '../../journal/newest';
import { profilesOf } from '../../journal/profiles';
import type { StoredLife } from '../../journal/store';

/** Named in a refusal, at most. */
const NAMED_MOST = 10;

/** The controller that is meant: by its digits, or by the name of its tray where one alone has that. */
export async function controllerNamed(client: Client, named: string): Promise<string> {
  const { rows } = await client.query(
    'SELECT board, tray, keeper FROM fleet.controllers WHERE board = $1 OR tray = $1 ORDER BY board LIMIT $2',
    [named, NAMED_MOST + 1],
  );
  const exact = rows.find(({ board }) => board === named) ?? (rows.length === 1 ? rows[0] : null);
  if (exact != null) return exact.board;
  if (rows.length === 0) {
    throw refused(
      'no-such-tray',
      `The fleet has no tray or controller "${named}".`,
      'See `trayward fleet status` for the names, or give the sixteen digits of its controller.',
    );
  }
  const some = rows.slice(0, NAMED_MOST).map(({ board, keeper }) => `${board} (${keeper})`);
  throw refused(
    'several-trays',
    `Several trays are called "${named}": ${some.join(', ')}${rows.length > NAMED_MOST ? ' and more' : ''}.`,
    'Give the digits of its controller.',
  );
}

/** Everything that the database has of a controller. */
export async function journalOf(
  client: Client,
  boardId: string,
  nowMs: number,
): Promise<KeptJournal> {
  const { rows } = await client.query(
    `SELECT e.life, e.packed FROM fleet.entries e JOIN fleet.controllers c ON c.id = e.controller
      WHERE c.board = $1 ORDER BY e.life, e.sequence`,
    [boardId],
  );
  const lives = new Map<number, JournalEntry[]>();
  let damaged = 0;
  for (const { life, packed } of rows) {
    const entries = lives.get(life) ?? [];
    lives.set(life, entries);
    const entry = unpackEntry(packed, 0);
    if (entry === null) damaged += 1;
    else entries.push(entry);
  }
  const stored = [...lives].map(([life, entries]): StoredLife => ({ life, entries, damaged: 0 }));
  const images = await client.query('SELECT image FROM fleet.profiles WHERE board = $1', [boardId]);
  return {
    ...{ boardId, pulled: false, pulledMs: null, lives: stored, damaged },
    profiles: {
      byId: profilesOf(images.rows.map(({ image }) => new Uint8Array(image))),
      activeId: null,
    },
    nowMs: Math.max(nowMs, lastMs(stored)),
  };
}

/** A bench's days may have run ahead of this computer's. */
function lastMs(lives: readonly StoredLife[]): number {
  const last = lives.at(-1);
  const dated = last === undefined ? [] : dateEntries(last.entries, last.life);
  return dated.at(-1)?.unixMs ?? 0;
}
