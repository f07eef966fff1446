/** Entries as rows of the database, in the text format of COPY. Pure. */

import { readU16, readU32 } from '../../../shared/bytes';
import { ENTRY_BYTES, unpackEntry } from '../../../shared/journal/codec';
import type { JournalEntry } from '../../../shared/journal/kinds';
import { HEAD, UPTIME_STEP_MS } from '../../../shared/journal/layout';

/** Where the entries of a block belong. */
export interface Shelf {
  readonly controller: number;
  readonly life: number;
  /** Day by which the partition is found, as the database writes it. */
  readonly filedOn: string;
}

const NONE = '\\N';

/** A value of text as COPY reads it (PostgreSQL, COPY: text format); null is no value. */
export const copyText = (text: string | null): string =>
  text === null ? NONE : text.replace(/[\\\b\f\n\r\t\v]/g, (one) => ESCAPES[one] ?? one);

const ESCAPES: Readonly<Record<string, string>> = {
  '\\': '\\\\',
  '\b': '\\b',
  '\f': '\\f',
  '\n': '\\n',
  '\r': '\\r',
  '\t': '\\t',
  '\v': '\\v',
};

const known = (value: number | undefined): string =>
  value === undefined || !Number.isFinite(value) ? NONE : String(value);

/** What an entry says beside its head, as JSON; null for readings, which have columns of their own. */
export function saysOf(entry: JournalEntry | null): string | null {
  if (entry === null || entry.kind === 'reading' || entry.kind === 'trace') return null;
  const { sequence: _sequence, boot: _boot, uptimeMs: _uptime, kind: _kind, ...rest } = entry;
  return JSON.stringify(rest);
}

export interface Row {
  /** A line of COPY, of `ENTRY_COLUMNS`. */
  readonly line: string;
  /** Null for a kind that a newer firmware has. */
  readonly entry: JournalEntry | null;
  readonly sequence: number;
  readonly boot: number;
  readonly uptimeMs: number;
}

/** The row of the packed entry at `offset`, which must be sound. */
export function rowOf(bytes: Uint8Array, offset: number, shelf: Shelf): Row {
  const entry = unpackEntry(bytes, offset);
  const sequence = readU32(bytes, offset + HEAD.sequence);
  const boot = readU16(bytes, offset + HEAD.boot);
  const uptimeMs = readU32(bytes, offset + HEAD.uptime) * UPTIME_STEP_MS;
  const packed = Buffer.from(bytes.buffer, bytes.byteOffset + offset, ENTRY_BYTES).toString('hex');
  const { controller, life, filedOn } = shelf;
  const read = entry?.kind === 'reading' || entry?.kind === 'trace' ? entry : null;
  const cells = [
    ...[sequence, uptimeMs, controller, boot, filedOn],
    ...[known(read?.rootZoneC), known(read?.matC), known(read?.trayG)],
    ...[known(read?.dryBackShare), known(read?.matDutyShare)],
    ...[life, bytes[offset + HEAD.kind] ?? 0, known(read?.outputs), known(read?.stage)],
    ...[`\\\\x${packed}`, copyText(saysOf(entry))],
  ];
  return { line: `${cells.join('\t')}\n`, entry, sequence, boot, uptimeMs };
}
