/** The journal as a table for a spreadsheet (RFC 4180): a column for every field that a kind of entry has. Pure. */
import { stringify } from 'csv-stringify/sync';
import { RESET_CAUSES } from '../../shared/board/words';
import { type JournalEntry, type JournalKind, NO_STAGE } from '../../shared/journal/kinds';
import { CALIBRATED, LAYOUT } from '../../shared/journal/layout';
import { profileIdText } from '../../shared/profile/image';
import { localIso } from '../terminal/local-time';
import { outputsText } from '../words/board';
import type { DatedEntry } from './dating';

const HEAD = ['time', 'local_time', 'life', 'boot', 'sequence', 'uptime_ms', 'kind'] as const;

/** Names of the fields of a kind; of every kind, once each, a reading's first: most rows are readings. */
function fieldsOf(kind: JournalKind | null): readonly string[] {
  const layouts = kind === null ? [LAYOUT.reading, ...Object.values(LAYOUT)] : [LAYOUT[kind]];
  const further = kind === null || kind === 'calibration' ? Object.values(CALIBRATED) : [];
  return [...new Set([...layouts, ...further].flatMap((fields) => Object.keys(fields)))];
}

type Cell = string | number | boolean;

/** Counted from 1, as every screen does. */
const stage = (index: number): Cell => (index === NO_STAGE ? '' : index + 1);

const version = (number: number): string =>
  [Math.floor(number / 10_000), Math.floor(number / 100) % 100, number % 100].join('.');

/** Fields whose number stands for something that a person calls otherwise. */
const SAID: Readonly<Record<string, (value: number) => Cell>> = {
  stage,
  from: stage,
  to: stage,
  stageBefore: stage,
  stageAfter: stage,
  slot: (index) => index + 1,
  outputs: outputsText,
  cause: (index) => RESET_CAUSES[index] ?? index,
  firmware: version,
  profileId: (id) => (id === 0 ? '' : profileIdText(id)),
  unixMs: (unixMs) => new Date(unixMs).toISOString(),
};

function cell(name: string, value: unknown): Cell {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) return '';
    return SAID[name]?.(value) ?? value;
  }
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return typeof value === 'string' ? plainText(value) : '';
}

/** What a spreadsheet would take for a formula, in a note, is made text by the mark it has for that. */
const plainText = (text: string): string => (/^[=+@-]/.test(text) ? `'${text}` : text);

/** `rootZoneC` as spreadsheets name columns: `root_zone_c`. */
const columnOf = (name: string): string =>
  name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

function row({ entry, unixMs, life }: DatedEntry, fields: readonly string[]): readonly Cell[] {
  const { sequence, boot, uptimeMs, kind }: JournalEntry = entry;
  const values: Readonly<Record<string, unknown>> = { ...entry };
  return [
    unixMs === null ? '' : new Date(unixMs).toISOString(),
    unixMs === null ? '' : localIso(unixMs),
    ...[life, boot, sequence, uptimeMs, kind],
    ...fields.map((name) => cell(name, values[name])),
  ];
}

/**
 * All entries, one a row, under their titles; rows end as RFC 4180 has them. Where they are of one `kind`, only
 * its columns.
 */
export function asCsv(entries: readonly DatedEntry[], kind: JournalKind | null): string {
  const fields = fieldsOf(kind);
  const titles = [...HEAD, ...fields.map(columnOf)];
  return stringify([titles, ...entries.map((entry) => row(entry, fields))], {
    record_delimiter: 'windows',
  });
}
