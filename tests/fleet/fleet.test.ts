/** Journals of many rooms on their way into one database: what arrives, what comes twice, and what is told of it. */
import { rmSync } from 'node:fs';
import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { boardOf } from '../../cli/fleet/bench/replay';
import { copyText } from '../../cli/fleet/database/rows';
import { fleetAlarmsOf } from '../../cli/fleet/queries/alarms';
import { fleetStatusOf } from '../../cli/fleet/queries/status';
import type { SentTray } from '../../cli/fleet/sending/sender';
import { ENTRY_BYTES, packEntry, unpackEntry } from '../../shared/journal/codec';
import type { JournalBody, JournalEntry } from '../../shared/journal/kinds';
import { anyCharacter } from '../any-text';
import { FRESH_SEED } from '../properties';
import { countOf, entriesOf, Fleet, HAS_SERVERS, START_MS } from './fleet';

/** Entries of a controller that has just begun, with these bodies. */
function entriesWith(bodies: readonly JournalBody[], first = 1, boot = 1): Uint8Array {
  const bytes = new Uint8Array(bodies.length * ENTRY_BYTES);
  bodies.forEach((body, i) => {
    const head = { sequence: first + i, boot, uptimeMs: (first + i) * 1000 };
    packEntry(head, body, bytes, i * ENTRY_BYTES);
  });
  return bytes;
}

const note = (text: string): JournalBody => ({ kind: 'note', more: 0, text });
const SOON = { timeout: 15_000, interval: 50 };

describe.skipIf(!HAS_SERVERS)('a fleet', () => {
  let fleet: Fleet;
  beforeAll(async () => {
    fleet = await Fleet.start();
  });
  afterEach(() => fleet.clear());
  afterAll(() => fleet.end());

  /** Sends what a keeper's store has. */
  async function send(keeper: string, trays: readonly SentTray[]) {
    const sender = fleet.sender(keeper);
    sender.round(trays);
    await sender.settled();
    return sender;
  }

  const packedOf = async (tray: number, life = 1): Promise<Uint8Array> => {
    const hex = await fleet.ask(
      `SELECT string_agg(encode(e.packed, 'hex'), '' ORDER BY e.sequence) FROM fleet.entries e
        JOIN fleet.controllers c ON c.id = e.controller WHERE c.board = $1 AND e.life = $2`,
      [boardOf(tray), life],
    );
    return new Uint8Array(Buffer.from(String(hex ?? ''), 'hex'));
  };

  it('has each entry of each tray once, as the board packed it', async () => {
    await fleet.collect('a');
    await send(
      'north',
      [1, 2, 3].map((tray) => fleet.store('north', tray, entriesOf(tray))),
    );
    await expect.poll(() => fleet.rows(), SOON).toBe(3 * countOf(entriesOf(1)));
    for (const tray of [1, 2, 3]) expect(await packedOf(tray)).toEqual(entriesOf(tray));
  });

  it('has what comes twice once, even when a better clock has dated it since, and weeks later', async () => {
    await fleet.collect('a');
    const [early, late] = [entriesOf(1), entriesOf(1)];
    const day = (unixMs: number): JournalBody => ({ kind: 'clock', unixMs, outageS: 0 });
    const next = (unpackEntry(late, late.length - ENTRY_BYTES)?.sequence ?? 0) + 1;
    await send('north', [fleet.store('north', 1, early)]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(early));
    // The clock was five weeks wrong: the whole boot is dated anew.
    const clock = entriesWith([day(START_MS + 40 * 86_400_000)], next, 1);
    rmSync(fleet.storeOf('north'), { recursive: true });
    const all = new Uint8Array(Buffer.concat([late, clock]));
    await send('north', [fleet.store('north', 1, all)]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(all));
    expect(await packedOf(1)).toEqual(all);
  });

  it('knows a life again by what is in it, whatever a store that was reset calls it', async () => {
    await fleet.collect('a');
    const [first, second] = [entriesOf(1), entriesWith([note('anew')])];
    fleet.store('north', 1, first, 1);
    await send('north', [fleet.store('north', 1, second, 2)]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(first) + 1);
    rmSync(fleet.storeOf('north'), { recursive: true });
    // The new store has the second life alone, as its first, and it has gone on.
    const more = entriesWith([note('anew'), note('more')]);
    await send('north', [fleet.store('north', 1, more, 1)]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(first) + 2);
    expect(await packedOf(1, 2)).toEqual(more);
    // Of a ring that has turned the store has a later beginning.
    rmSync(fleet.storeOf('north'), { recursive: true });
    const turned = entriesWith([note('more'), note('and more')], 2);
    await send('north', [fleet.store('north', 1, turned, 1)]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(first) + 3);
  });

  it('asks again for what a broker has lost after it acknowledged it, the very last entries too', async () => {
    const before = await fleet.collect('a');
    await before.close();
    const sender = await send('north', [fleet.store('north', 1, entriesOf(1))]);
    await fleet.broker.kill();
    await fleet.broker.run();
    await fleet.collect('a');
    expect(await fleet.rows()).toBe(0);
    const tray = fleet.store('north', 1, entriesOf(1));
    await expect
      .poll(async () => {
        sender.round([tray]);
        return fleet.rows();
      }, SOON)
      .toBe(countOf(entriesOf(1)));
    const status = await fleet.postgres.as('look', (client) =>
      fleetStatusOf(client, 10, Date.now()),
    );
    expect(status.gaps).toMatchObject({ trays: 0, entries: 0 });
  });

  it('goes on where the database was cut off: nothing was acknowledged that was not there', async () => {
    const session = await fleet.collect('a');
    const trays = [1, 2, 3, 4].map((tray) => fleet.store('north', tray, entriesOf(tray)));
    const sending = send('north', trays);
    await fleet.postgres.kill();
    expect((await session.lost).message).toContain('The database "trayward"');
    await session.close();
    await sending;
    await fleet.postgres.run();
    await fleet.collect('a');
    await expect.poll(() => fleet.rows(), SOON).toBe(4 * countOf(entriesOf(1)));
  });

  it('divides the load between collectors, and no entry is there twice', async () => {
    const counts = ['a', 'b'].map(() => ({ entries: 0, known: 0, refused: 0 }));
    await fleet.collect('a', counts[0]);
    await fleet.collect('b', counts[1]);
    const trays = Array.from({ length: 24 }, (_, i) => fleet.store('north', i, entriesOf(i)));
    await send('north', trays);
    const wanted = trays.length * countOf(entriesOf(1));
    await expect.poll(() => fleet.rows(), SOON).toBe(wanted);
    const shares = counts.map(({ entries }) => entries / wanted);
    expect(Math.min(...shares)).toBeGreaterThan(0.2);
    expect(counts.reduce((sum, { entries }) => sum + entries, 0)).toBe(wanted);
  });

  it('tells which alarms stand, since when, and what a tray was read as last', async () => {
    await fleet.collect('a');
    const raised = entriesOf(1);
    const alarms: JournalEntry[] = [];
    for (let at = 0; at < raised.length; at += ENTRY_BYTES) {
      const entry = unpackEntry(raised, at);
      if (entry?.kind === 'alarm') alarms.push(entry);
    }
    // Up to the moment at which the probe broke.
    const end = alarms.find(({ kind }) => kind === 'alarm')?.sequence ?? 0;
    const cut = raised.slice(0, end * ENTRY_BYTES);
    await send('north', [fleet.store('north', 1, cut), fleet.store('north', 2, entriesOf(2))]);
    await expect.poll(() => fleet.rows(), SOON).toBe(countOf(cut) + countOf(entriesOf(2)));
    const told = await fleet.postgres.as('look', (client) =>
      fleetAlarmsOf(client, { boardId: boardOf(1), most: 10, nowMs: Date.now() }),
    );
    expect(told.alarms.map(({ alarm, tray, change }) => [alarm, tray, change])).toEqual([
      ['probe-open', 'Tray 1', 'raised'],
    ]);
    const hours = ((told.alarms[0]?.sinceUnixMs ?? 0) - START_MS) / 3_600_000;
    expect(hours).toBeGreaterThan(2.9);
    expect(hours).toBeLessThan(3.2);
  });

  it('takes any text for text: names and notes that are made to break out of it', async () => {
    await fleet.collect('a');
    const texts = ["'); DROP--", 'a\\tb\\N\\.', '\\.', '\\N', '"{}"', "é\\'üß€", '%s$1;--'];
    const tray = fleet.store('north', 1, entriesWith(texts.map(note)));
    const name = `'); DROP TABLE fleet.lives;-- \\N`;
    await send('north', [{ ...tray, name }]);
    await expect.poll(() => fleet.rows(), SOON).toBe(texts.length);
    const read = await fleet.ask(
      `SELECT json_agg(says->>'text' ORDER BY sequence) FROM fleet.entries`,
    );
    expect(read).toEqual(texts);
    expect(await fleet.ask('SELECT tray FROM fleet.controllers')).toBe(name);
  });

  it('copies any text as it is', async () => {
    const texts = fc.sample(fc.string({ unit: anyCharacter, maxLength: 20 }), {
      seed: FRESH_SEED,
      numRuns: 500,
    });
    const clean = texts.map((text) => text.replaceAll('\0', '').replace(/\p{Cs}/gu, ''));
    const { from } = await import('pg-copy-streams');
    const read = await fleet.postgres.as('collect', async (client) => {
      await client.query('CREATE TEMPORARY TABLE texts (n int, text text)');
      const copying = client.query(from('COPY texts FROM STDIN'));
      copying.end(clean.map((text, i) => `${i}\t${copyText(text)}\n`).join(''));
      await new Promise((resolve, reject) => copying.on('finish', resolve).on('error', reject));
      return (await client.query('SELECT text FROM texts ORDER BY n')).rows;
    });
    expect(
      read.map(({ text }) => text),
      `seed ${FRESH_SEED}`,
    ).toEqual(clean);
  });
});
