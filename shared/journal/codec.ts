/** Journal entries as 32 bytes and back, by the table in `layout.ts`. */
import { CALIBRATION_TARGETS } from '../board/calibration-targets';
import { crc32, decodeUtf8, encodeUtf8, readU16, readU32, writeU16, writeU32 } from '../bytes';
import type { EntryHead, JournalBody, JournalEntry, JournalKind } from './kinds';
import type { EntryField, NumberField } from './layout';
import { CALIBRATED, CRC_AT, ENTRY_BYTES, HEAD, LAYOUT, UPTIME_STEP_MS } from './layout';

export { ENTRY_BYTES } from './layout';

/** Sequence 0 is never given, and this one is what erased flash reads as. */
const ERASED_SEQUENCE = 0xffff_ffff;

/** Every kind of entry, in the order of their numbers. */
export const JOURNAL_KINDS = Object.keys(LAYOUT) as readonly JournalKind[];
type Fields = readonly (readonly [string, EntryField])[];
const FIELDS: readonly Fields[] = JOURNAL_KINDS.map((kind) => Object.entries(LAYOUT[kind]));
/** Of a calibration, in the order of its targets. */
const CALIBRATION_FIELDS: readonly Fields[] = CALIBRATION_TARGETS.map((target) =>
  Object.entries({ ...LAYOUT.calibration, ...CALIBRATED[target] }),
);
type Values = Record<string, number | boolean | string>;
/** Of each list of fields an entry to be filled: one that grows field by field takes fifteen times as long. */
const EMPTY = /* @__PURE__ */ emptyEntries();
const KIND_NUMBERS = new Map(JOURNAL_KINDS.map((kind, index) => [kind, index + 1]));
const CALIBRATION_NUMBER = KIND_NUMBERS.get('calibration');

/**
 * Writes one entry to `into[offset..offset + ENTRY_BYTES)`. Numbers are rounded to the step of their
 * field and kept inside its range; NaN stays NaN where the layout has a code for it, else becomes 0.
 */
export function packEntry(
  head: EntryHead,
  body: JournalBody,
  into: Uint8Array,
  offset: number,
): void {
  const number = KIND_NUMBERS.get(body.kind) ?? 0;
  into.fill(0, offset, offset + CRC_AT);
  writeU32(into, offset + HEAD.sequence, head.sequence);
  writeU16(into, offset + HEAD.boot, Math.min(head.boot, 0xffff));
  into[offset + HEAD.kind] = number;
  writeU32(into, offset + HEAD.uptime, Math.floor(head.uptimeMs / UPTIME_STEP_MS));
  // Sound by the type of LAYOUT: it names exactly the fields of each body.
  const values = body as unknown as Readonly<Record<string, number | boolean | string>>;
  const fields =
    body.kind === 'calibration'
      ? CALIBRATION_FIELDS[CALIBRATION_TARGETS.indexOf(body.target)]
      : FIELDS[number - 1];
  for (const [name, field] of fields ?? []) {
    const value = values[name];
    const at = offset + field.at;
    if (field.words) into[at] = field.words.indexOf(String(value));
    else if (field.type) field.type.write(into, at, codeOf(Number(value), field));
    else if (field.bytes) into.set(encodeUtf8(String(value)).subarray(0, field.bytes), at);
    else into[at] = value ? 1 : 0;
  }
  writeU32(into, offset + CRC_AT, crc32(into, offset, offset + CRC_AT));
}

/**
 * The entry at `bytes[offset]`, or null when it is erased or damaged, or of a kind or with a word
 * that a newer firmware added. `outputs`, `stage` and the like are returned as stored.
 */
export function unpackEntry(bytes: Uint8Array, offset: number): JournalEntry | null {
  const number = bytes[offset + HEAD.kind] ?? 0;
  const fields =
    number === CALIBRATION_NUMBER
      ? CALIBRATION_FIELDS[bytes[offset + LAYOUT.calibration.target.at] ?? 0]
      : FIELDS[number - 1];
  if (fields === undefined || !isEntrySound(bytes, offset)) return null;
  const entry: Values = { ...EMPTY.get(fields) };
  entry.sequence = entrySequence(bytes, offset);
  entry.boot = readU16(bytes, offset + HEAD.boot);
  entry.uptimeMs = readU32(bytes, offset + HEAD.uptime) * UPTIME_STEP_MS;
  entry.kind = JOURNAL_KINDS[number - 1] ?? '';
  for (const [name, field] of fields) {
    const at = offset + field.at;
    if (field.words) {
      const word = field.words[bytes[at] ?? 0];
      if (word === undefined) return null;
      entry[name] = word;
    } else if (field.type) entry[name] = numberOf(field.type.read(bytes, at), field);
    else if (field.bytes) {
      const text = textAt(bytes, at, field.bytes);
      if (text === null) return null;
      entry[name] = text;
    } else entry[name] = bytes[at] === 1;
  }
  // Sound by the type of LAYOUT: every field of the kind was just read, each by its own type.
  return entry as unknown as JournalEntry;
}

/** For `unpackEntry`, which the image has no use for. */
function emptyEntries(): ReadonlyMap<Fields, Readonly<Values>> {
  const head: Values = { sequence: 0, boot: 0, uptimeMs: 0, kind: '' };
  return new Map(
    [...FIELDS, ...CALIBRATION_FIELDS].map((fields) => [
      fields,
      { ...head, ...Object.fromEntries(fields.map(([name]) => [name, 0])) },
    ]),
  );
}

/** What every entry has, of the one at `offset`, whether or not that is sound. */
export function entryHead(bytes: Uint8Array, offset: number): EntryHead {
  return {
    sequence: entrySequence(bytes, offset),
    boot: readU16(bytes, offset + HEAD.boot),
    uptimeMs: readU32(bytes, offset + HEAD.uptime) * UPTIME_STEP_MS,
  };
}

/** Kind of the entry at `offset`, whether or not that is sound; null for one that a newer firmware added. */
export function entryKind(bytes: Uint8Array, offset: number): JournalKind | null {
  return JOURNAL_KINDS[(bytes[offset + HEAD.kind] ?? 0) - 1] ?? null;
}

/** Sequence number of the entry at `offset`, whether or not the entry is sound. */
export function entrySequence(bytes: Uint8Array, offset: number): number {
  return readU32(bytes, offset + HEAD.sequence);
}

/** Whether a whole, undamaged entry (of whatever kind) lies at `offset`. */
export function isEntrySound(bytes: Uint8Array, offset: number): boolean {
  const sequence = entrySequence(bytes, offset);
  return (
    sequence !== 0 &&
    sequence !== ERASED_SEQUENCE &&
    offset + ENTRY_BYTES <= bytes.length &&
    readU32(bytes, offset + CRC_AT) === crc32(bytes, offset, offset + CRC_AT)
  );
}

/** Text that ends at its first 0, or fills its field; null where it is no UTF-8. */
function textAt(bytes: Uint8Array, at: number, length: number): string | null {
  const field = bytes.subarray(at, at + length);
  const end = field.indexOf(0);
  return decodeUtf8(field, 0, end < 0 ? length : end);
}

function codeOf(value: number, { type, scale }: NumberField): number {
  if (type.high === Number.POSITIVE_INFINITY) return value;
  if (Number.isNaN(value)) return type.none;
  return Math.min(Math.max(Math.round(value * scale), type.low), type.high);
}

function numberOf(code: number, { type, scale }: NumberField): number {
  return code === type.none ? Number.NaN : code / scale;
}
