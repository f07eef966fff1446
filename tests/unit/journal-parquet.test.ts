/** The journal as a table for programs that reckon: what a reader of Parquet finds in it. */
import fc from 'fast-check';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { columnsOf } from '../../cli/journal/columns';
import type { DatedEntry } from '../../cli/journal/dating';
import { asParquet } from '../../cli/journal/parquet';
import type { JournalEntry } from '../../shared/journal/kinds';
import { holdsAsync } from '../properties';
import { anyBody, anyHead } from './any-entry';
import { EVENING_MS, MadeJournal } from './made-journal';

const dated = (entry: JournalEntry, unixMs: number | null = EVENING_MS): DatedEntry => ({
  ...{ entry, life: 1, unixMs, afterMs: null, beforeMs: null },
});

/** As a reader has it: its own copy of the bytes. */
function fileOf(entries: readonly DatedEntry[], kind: Parameters<typeof asParquet>[1] = null) {
  return new Uint8Array(asParquet(entries, kind)).buffer;
}
const rowsOf = (entries: readonly DatedEntry[], kind: Parameters<typeof asParquet>[1] = null) =>
  parquetReadObjects({ file: fileOf(entries, kind) });

describe('the journal as Parquet', () => {
  it('has every cell of the table as a number, a yes or no, a text or a time', async () => {
    const made = new MadeJournal().goOn(0.2, { rootC: Number.NaN }).alarm('too-cold').dose(59);
    made.note({ kind: 'note', more: 0, text: '=1+1' });
    const [boot, clock, capacity, , reading] = await rowsOf(made.entries.map((one) => dated(one)));
    expect(boot).toMatchObject({ kind: 'boot', cause: 'power-on', firmware: '0.1.0', boot: 1 });
    expect(clock?.time).toEqual(new Date(EVENING_MS));
    expect(clock?.unix_ms).toEqual(new Date(EVENING_MS));
    expect(capacity).toMatchObject({ capacity_g: 4594, dry_weighed: true, root_zone_c: null });
    expect(reading).toMatchObject({
      root_zone_c: null,
      tray_g: 4590,
      stage: 1,
      uptime_ms: 300_000,
    });
    const all = await rowsOf(made.entries.map((one) => dated(one)));
    // Only a spreadsheet would take it for a formula.
    expect(all.at(-1)?.text).toBe('=1+1');
  });

  it('keeps the time of an entry that no clock has dated unknown', async () => {
    const [first] = await rowsOf(new MadeJournal().entries.map((one) => dated(one, null)));
    expect(first).toMatchObject({ time: null, local_time: null, life: 1 });
  });

  it('says the units of its columns, beside their names', () => {
    const { key_value_metadata: kept, created_by: by } = parquetMetadata(fileOf([]));
    const units = JSON.parse(kept?.find(({ key }) => key === 'units')?.value ?? '{}');
    expect(by).toBe('trayward');
    expect(units).toMatchObject({
      root_zone_c: '°C',
      tray_g: 'g',
      planned_ml: 'ml',
      uptime_ms: 'ms',
      dry_back_share: '1',
      feed_ec: 'mS/cm',
      ml_per_s: 'ml/s',
      previous_ml_per_s: 'ml/s',
      counts_per_g: 'counts/g',
      offset_k: 'K',
      cv_percent: '%',
    });
    for (const named of ['stage', 'life', 'time', 'text', 'kind', 'value'])
      expect(units[named]).toBeUndefined();
  });

  it('has the columns of the one kind that is asked for', async () => {
    const { schema } = parquetMetadata(fileOf([], 'dose'));
    const names = schema.slice(1).map(({ name }) => name);
    expect(names).toContain('planned_ml');
    expect(names).not.toContain('root_zone_c');
  });

  it('gives back whatever an entry can have', async () => {
    const columns = columnsOf(null);
    await holdsAsync(
      fc.asyncProperty(fc.array(fc.tuple(anyHead, anyBody), { maxLength: 30 }), async (pairs) => {
        const entries = pairs.map(([head, body]) => dated({ ...head, ...body }));
        const rows = await rowsOf(entries);
        expect(rows).toHaveLength(entries.length);
        const others = entries.flatMap((entry, i) =>
          columns.flatMap(({ title, cellOf, holds }) => {
            const cell = cellOf(entry);
            const read = rows[i]?.[title] ?? null;
            const isSame =
              holds === 'time' && typeof cell === 'string'
                ? read instanceof Date && read.getTime() === new Date(cell).getTime()
                : Object.is(read, cell);
            return isSame ? [] : [{ title, cell, read }];
          }),
        );
        expect(others).toEqual([]);
      }),
    );
  });
});
