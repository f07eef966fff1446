/** Records of an outbox as lines that tell whether they are whole: eight hex digits of CRC-32, then JSON. Pure. */
import { crc32, decodeUtf8, encodeUtf8 } from '../../../shared/bytes';
import { applied, type OutboxRecord, type OutboxState, recordSchema } from './state';

const CRC_DIGITS = 8;
const NEWLINE = 0x0a;

const crcText = (json: string): string =>
  crc32(encodeUtf8(json)).toString(16).padStart(CRC_DIGITS, '0');

export function encodeRecord(record: OutboxRecord): Uint8Array {
  const json = JSON.stringify(record);
  return encodeUtf8(`${crcText(json)} ${json}\n`);
}

/** The record of a line; null when it is torn or spoilt. */
function decodeRecord(line: string): OutboxRecord | null {
  const json = line.slice(CRC_DIGITS + 1);
  if (line.slice(0, CRC_DIGITS) !== crcText(json)) return null;
  try {
    return recordSchema.parse(JSON.parse(json));
  } catch {
    return null;
  }
}

export interface Replayed {
  /** Null where the file holds nothing yet. */
  readonly state: OutboxState | null;
  /** Lines in the midst of it that cannot be read: the disk has changed them. */
  readonly damaged: number;
}

/** What a file holds. A torn end, which a crash leaves behind, is left out: nobody was told that it was kept. */
export function replay(bytes: Uint8Array): Replayed {
  let state: OutboxState | null = null;
  let damaged = 0;
  let from = 0;
  for (let to = bytes.indexOf(NEWLINE); to >= 0; to = bytes.indexOf(NEWLINE, from)) {
    const record = decodeRecord(decodeUtf8(bytes, from, to) ?? '');
    if (record === null) damaged++;
    else state = applied(state, record);
    from = to + 1;
  }
  return { state, damaged };
}
