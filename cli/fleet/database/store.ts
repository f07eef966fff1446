/** Entries into the database: all of some batches with what they tell of gaps, in one transaction, or none of it. */

import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { Client } from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { readU16 } from '../../../shared/bytes';
import { ENTRY_BYTES, entrySequence } from '../../../shared/journal/codec';
import { HEAD } from '../../../shared/journal/layout';
import { decodeProfile } from '../../../shared/profile/image';
import type { Asked, Batch, End } from '../wire';
import { type Row, rowOf, type Shelf } from './rows';
import { ENTRY_COLUMNS } from './schema';
import { Shelves } from './shelves';

const COLUMNS = ENTRY_COLUMNS.join(', ');
const STAGE = `CREATE TEMPORARY TABLE IF NOT EXISTS stage ON COMMIT DELETE ROWS
  AS SELECT ${COLUMNS} FROM fleet.entries WITH NO DATA`;
/** In the order of the key, so that two collectors never wait for each other. */
const STORE = `INSERT INTO fleet.entries (${COLUMNS})
  SELECT ${COLUMNS} FROM stage ORDER BY controller, life, sequence ON CONFLICT DO NOTHING`;
const STORE_CLOCKS = `INSERT INTO fleet.clocks
  SELECT * FROM unnest($1::int[], $2::smallint[], $3::bigint[], $4::int[], $5::bigint[], $6::float8[])
  ON CONFLICT DO NOTHING`;
const STORE_ALARMS = `INSERT INTO fleet.alarms (controller, life, sequence, boot, uptime_ms, alarm, change, value)
  SELECT * FROM unnest($1::int[], $2::smallint[], $3::bigint[], $4::int[], $5::bigint[], $6::text[], $7::text[], $8::real[])
  ON CONFLICT DO NOTHING`;

/** The columns of some objects, each as an array: how the database takes many rows by one parameter. */
const columnsOf = (rows: readonly (readonly unknown[])[], count: number): unknown[][] =>
  Array.from({ length: count }, (_, i) => rows.map((row) => row[i]));

interface Told {
  readonly shelf: Shelf;
  readonly row: Row;
}

export interface Stored {
  readonly entries: number;
  /** Those that were there already. */
  readonly known: number;
}

export class FleetStore {
  readonly #shelves: Shelves;

  private constructor(
    private readonly client: Client,
    now: () => number,
  ) {
    this.#shelves = new Shelves(client, now);
  }

  /** Over a connection of a collector. Throws what the database does, as all of its methods do. */
  static async on(client: Client, now: () => number): Promise<FleetStore> {
    await client.query(`SET synchronous_commit = on`);
    await client.query(STAGE);
    return new FleetStore(client, now);
  }

  /** Returns once they are committed. */
  async write(batches: readonly Batch[]): Promise<Stored> {
    await this.#shelves.place(batches);
    const told = batches.flatMap((batch) => this.#rowsOf(batch));
    await this.client.query('BEGIN');
    try {
      const entries = await this.#copy(told);
      await this.#clocks(told);
      await this.#alarms(told);
      await this.#note(batches);
      await this.#latest(told);
      await this.client.query('COMMIT');
      return { entries, known: told.length - entries };
    } catch (error) {
      await this.client.query('ROLLBACK').catch(() => undefined);
      throw error;
    }
  }

  async ends(keeper: string, ends: readonly End[]): Promise<void> {
    if (ends.length === 0) return;
    const asBatches = ends.map(({ controller, tray, mark }) => ({
      ...{ keeper, controller, tray, mark, whole: null, atMs: null, bytes: new Uint8Array() },
    }));
    await this.#shelves.place(asBatches);
    const rows = ends.map(({ to, ...end }) => {
      const { controller, life } = this.#shelves.of(end, end.mark.sequence);
      return [controller, life, to];
    });
    await this.client.query('SELECT fleet.note_ends($1, $2, $3)', columnsOf(rows, 3));
  }

  async profile(controller: string, image: Uint8Array): Promise<void> {
    const decoded = decodeProfile(image);
    if (!decoded.ok) return;
    await this.client.query(
      'INSERT INTO fleet.profiles (board, id, image) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING',
      [controller, decoded.id, Buffer.from(image)],
    );
  }

  /** What is missing and due to be asked for, each with the keeper that is to be asked. */
  async dueAsks(most: number): Promise<readonly (Asked & { readonly keeper: string })[]> {
    const { rows } = await this.client.query('SELECT * FROM fleet.due_asks($1)', [most]);
    return rows.map((row) => ({
      keeper: row.keeper,
      controller: row.board,
      mark: {
        sequence: Number(row.mark_sequence),
        crc: Number(row.mark_crc),
        boot: row.mark_boot,
      },
      from: Number(row.span_from),
      to: Number(row.span_to),
    }));
  }

  async close(): Promise<void> {
    await this.client.end().catch(() => undefined);
  }

  #rowsOf(batch: Batch): readonly Told[] {
    const told: Told[] = [];
    for (let at = 0; at < batch.bytes.length; at += ENTRY_BYTES) {
      const shelf = this.#shelves.of(batch, entrySequence(batch.bytes, at));
      told.push({ shelf, row: rowOf(batch.bytes, at, shelf) });
    }
    return told;
  }

  async #copy(told: readonly Told[]): Promise<number> {
    if (told.length === 0) return 0;
    const lines = told.map(({ row }) => row.line).join('');
    await pipeline(
      Readable.from([Buffer.from(lines)]),
      this.client.query(copyFrom(`COPY stage (${COLUMNS}) FROM STDIN`)),
    );
    const { rowCount } = await this.client.query(STORE);
    return rowCount ?? 0;
  }

  async #clocks(told: readonly Told[]): Promise<void> {
    const rows = told.flatMap(({ shelf, row }) =>
      row.entry?.kind === 'clock' ? [[...headOf(shelf, row), row.entry.unixMs]] : [],
    );
    if (rows.length > 0) await this.client.query(STORE_CLOCKS, columnsOf(rows, 6));
  }

  async #alarms(told: readonly Told[]): Promise<void> {
    const rows = told.flatMap(({ shelf, row }) => {
      const { entry } = row;
      if (entry?.kind !== 'alarm') return [];
      const { alarm, change, value } = entry;
      return [[...headOf(shelf, row), alarm, change, Number.isFinite(value) ? value : null]];
    });
    if (rows.length > 0) await this.client.query(STORE_ALARMS, columnsOf(rows, 8));
  }

  async #note(batches: readonly Batch[]): Promise<void> {
    const rows = batches.flatMap(({ whole, bytes, controller, mark }) => {
      if (whole === null) return [];
      const { controller: id, life } = this.#shelves.of(
        { controller, mark },
        firstOf(bytes, whole),
      );
      return [[id, life, whole.from, whole.to, whole.to, lastBootOf(bytes, mark.boot)]];
    });
    if (rows.length === 0) return;
    await this.client.query('SELECT fleet.note($1, $2, $3, $4, $5, $6)', columnsOf(rows, 6));
  }

  /** The newest reading of each tray. */
  async #latest(told: readonly Told[]): Promise<void> {
    const newest = new Map<number, Told>();
    for (const one of told) {
      const kind = one.row.entry?.kind;
      if (kind !== 'reading' && kind !== 'trace') continue;
      const before = newest.get(one.shelf.controller);
      if (before === undefined || isNewer(one, before)) newest.set(one.shelf.controller, one);
    }
    const rows = [...newest.values()].flatMap(({ shelf, row }) => {
      const { entry } = row;
      if (entry?.kind !== 'reading' && entry?.kind !== 'trace') return [];
      const numbers = [entry.rootZoneC, entry.trayG].map((n) => (Number.isFinite(n) ? n : null));
      return [[...headOf(shelf, row), ...numbers, entry.stage]];
    });
    if (rows.length === 0) return;
    await this.client.query(
      'SELECT fleet.note_latest($1, $2, $3, $4, $5, $6, $7, $8)',
      columnsOf(rows, 8),
    );
  }
}

const headOf = ({ controller, life }: Shelf, { sequence, boot, uptimeMs }: Row) => [
  ...[controller, life, sequence, boot, uptimeMs],
];

const isNewer = (a: Told, b: Told): boolean =>
  a.shelf.life > b.shelf.life || (a.shelf.life === b.shelf.life && a.row.sequence > b.row.sequence);

const firstOf = (bytes: Uint8Array, whole: { readonly from: number }): number =>
  bytes.length === 0 ? whole.from : entrySequence(bytes, 0);

const lastBootOf = (bytes: Uint8Array, otherwise: number): number =>
  bytes.length === 0 ? otherwise : readU16(bytes, bytes.length - ENTRY_BYTES + HEAD.boot);
