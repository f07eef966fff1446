/**
 * The journal as tables for a spreadsheet (RFC 4180): readings in one, all else in another. A column has one
 * quantity, with its unit in the heading. Pure.
 */
import { stringify } from 'csv-stringify/sync';
import type { JournalKind } from '../../shared/journal/kinds';
import { localIso } from '../terminal/local-time';
import { ALARM_COLUMNS, type SheetColumn } from './alarm-columns';
import { type Cell, type Column, columnsOf } from './columns';
import type { DatedEntry } from './dating';
import { describeEntry } from './describe';
import { HEADINGS, type Heading, headingText, inUnitOf } from './headings';

/** Which of the two tables an entry stands in: what is measured time after time, or what happened once. */
export const isReading = (kind: JournalKind): boolean => kind === 'reading' || kind === 'trace';

/** What a table has in it: readings, all that is none, or one kind alone. */
export type Sheet = 'readings' | 'events' | JournalKind;

export const isOn = (sheet: Sheet, kind: JournalKind): boolean => {
  if (sheet === 'readings') return isReading(kind);
  return sheet === 'events' ? !isReading(kind) : kind === sheet;
};

/** Where an entry stands in the journal: behind what it says, for who must know. */
const PLACE: readonly string[] = ['sequence', 'boot', 'uptime_ms', 'life'];
/** Told otherwise here: the time by that of this place, what an alarm measured by its own quantity. */
const OTHERWISE: readonly string[] = ['time', 'local_time', 'kind', 'value', 'limit'];

/** As the sheet has a column that programs know by its title. */
function sheetColumn({ title, cellOf, holds }: Column): SheetColumn {
  const heading: Heading = HEADINGS[title] ?? { words: title.replaceAll('_', ' ') };
  return {
    heading: headingText(heading),
    cellOf: (dated) => {
      const cell = cellOf(dated);
      return holds === 'time' && typeof cell === 'string'
        ? localIso(Date.parse(cell))
        : inUnitOf(heading, cell);
    },
  };
}

/** What happened, as `journal show` has it. Metric, as all of the table. */
const SAID: SheetColumn = {
  heading: 'what happened',
  cellOf: ({ entry }) => describeEntry(entry, 'metric'),
};

/** All columns that a sheet can have. */
export function sheetColumns(sheet: Sheet): readonly SheetColumn[] {
  const isMixed = sheet === 'events';
  const columns = columnsOf(isMixed ? null : sheet === 'readings' ? 'reading' : sheet);
  const named = (titles: readonly string[]): readonly SheetColumn[] =>
    titles.flatMap((title) => columns.find((one) => one.title === title) ?? []).map(sheetColumn);
  const fields = columns.filter(({ title }) => ![...PLACE, ...OTHERWISE].includes(title));
  const readings = sheet === 'readings' || (!isMixed && isReading(sheet));
  return [
    ...named(['local_time', 'kind']),
    ...(readings ? [] : [SAID]),
    ...fields.map(sheetColumn),
    ...(isMixed || sheet === 'alarm' ? ALARM_COLUMNS : []),
    ...named(PLACE),
  ];
}

/** What a spreadsheet would take for a formula, in a note, is made text by the mark it has for that. */
const plainText = (text: string): string => (/^[=+@-]/.test(text) ? `'${text}` : text);

/** Digits that a number of the journal has: beyond them lies what binary makes of a tenth. */
const DIGITS = 7;
const BEYOND = 10 ** (DIGITS - 1);

function written(cell: Cell): string | number {
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  if (typeof cell !== 'number') return plainText(cell ?? '');
  return Math.abs(cell) < BEYOND ? Number(cell.toPrecision(DIGITS)) : cell;
}

/**
 * Those of the entries that belong to the sheet, one a row, under their headings; rows end as RFC 4180 has them. Of
 * events, whose kinds have little in common, only the columns that any of them fills.
 */
export function asCsv(all: readonly DatedEntry[], sheet: Sheet): string {
  const entries = all.filter(({ entry }) => isOn(sheet, entry.kind));
  const columns = sheetColumns(sheet);
  const rows = entries.map((dated) => columns.map(({ cellOf }) => written(cellOf(dated))));
  const always = sheet !== 'events' || rows.length === 0;
  const isKept = columns.map((_, i) => always || rows.some((row) => row[i] !== ''));
  const kept = <T>(row: readonly T[]): T[] => row.filter((_, i) => isKept[i]);
  return stringify([columns.map(({ heading }) => heading), ...rows].map(kept), {
    record_delimiter: 'windows',
  });
}
