/** The journal as a table for programs that reckon (Apache Parquet): the columns of the CSV, each of its own type. Pure. */
import { parquetWriteBuffer } from 'hyparquet-writer';
import type { JournalKind } from '../../shared/journal/kinds';
import { type Cell, type Column, columnsOf, type Holds } from './columns';
import type { DatedEntry } from './dating';

/** Numbers are doubles, as the journal's readings are; none is too large to be exact in one. */
const TYPES = { text: 'STRING', number: 'DOUBLE', flag: 'BOOLEAN', time: 'TIMESTAMP' } as const;

const typed = (holds: Holds, cell: Cell): Cell | Date =>
  holds === 'time' && typeof cell === 'string' ? new Date(cell) : cell;

/** The units by column, as JSON under the key `units`: the format has no other place for them. */
const unitsText = (columns: readonly Column[]): string =>
  JSON.stringify(
    Object.fromEntries(
      columns.flatMap(({ title, unit }) => (unit === null ? [] : [[title, unit]])),
    ),
  );

/** All entries, one a row; a cell that an entry lacks, or does not know, is null. As `asCsv` otherwise. */
export function asParquet(entries: readonly DatedEntry[], kind: JournalKind | null): Uint8Array {
  const columns = columnsOf(kind);
  const written = parquetWriteBuffer({
    columnData: columns.map(({ title, holds, cellOf }) => ({
      name: title,
      type: TYPES[holds],
      data: entries.map((dated) => typed(holds, cellOf(dated))),
    })),
    kvMetadata: [{ key: 'units', value: unitsText(columns) }],
    createdBy: 'trayward',
  });
  return new Uint8Array(written);
}
