/** The journal as a table for a spreadsheet (RFC 4180). Pure. */
import { stringify } from 'csv-stringify/sync';
import type { JournalKind } from '../../shared/journal/kinds';
import { type Cell, columnsOf } from './columns';
import type { DatedEntry } from './dating';

/** What a spreadsheet would take for a formula, in a note, is made text by the mark it has for that. */
const plainText = (text: string): string => (/^[=+@-]/.test(text) ? `'${text}` : text);

function written(cell: Cell): string | number {
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  return typeof cell === 'string' ? plainText(cell) : (cell ?? '');
}

/**
 * All entries, one a row, under their titles; rows end as RFC 4180 has them. Where they are of one `kind`, only
 * its columns.
 */
export function asCsv(entries: readonly DatedEntry[], kind: JournalKind | null): string {
  const columns = columnsOf(kind);
  const rows = entries.map((dated) => columns.map(({ cellOf }) => written(cellOf(dated))));
  return stringify([columns.map(({ title }) => title), ...rows], { record_delimiter: 'windows' });
}
