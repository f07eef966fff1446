/** One settings record: 16 bytes of head, then the value. Layout: README.md here. */
import { FLASH_PAGE_BYTES } from '../../shared/board/map';
import { crc32, readU16, readU32, writeU16, writeU32 } from '../../shared/bytes';
import type { FlashAccess } from './flash-access';

/** Records start on multiples of this, so that a scan finds the next one behind a torn one. */
export const RECORD_STEP_BYTES = 16;
const HEAD_BYTES = RECORD_STEP_BYTES;
const HEAD = { key: 0, mark: 1, length: 2, sequence: 4, valueCrc: 8, headCrc: 12 } as const;
/** Not what erased or zeroed flash reads as. */
const MARK = 0x56;

export const VALUE_BYTES_MAX = 1024;
export const KEY_MAX = 255;

export interface RecordHead {
  readonly key: number;
  /** Of the value, bytes. */
  readonly length: number;
  /** The record with the highest one speaks for its key. */
  readonly sequence: number;
  readonly valueCrc: number;
}

/** Bytes of flash that a record with a value of `length` bytes takes. */
export function recordBytes(length: number): number {
  return Math.ceil((HEAD_BYTES + length) / RECORD_STEP_BYTES) * RECORD_STEP_BYTES;
}

/** The head at `offset` of `bytes`, or null when erased or damaged. Says nothing about the value. */
export function readHead(bytes: Uint8Array, offset: number): RecordHead | null {
  const key = bytes[offset + HEAD.key] ?? 0;
  const length = readU16(bytes, offset + HEAD.length);
  if (key === 0 || bytes[offset + HEAD.mark] !== MARK || length > VALUE_BYTES_MAX) return null;
  const headCrc = crc32(bytes, offset, offset + HEAD.headCrc);
  if (readU32(bytes, offset + HEAD.headCrc) !== headCrc) return null;
  return {
    key,
    length,
    sequence: readU32(bytes, offset + HEAD.sequence),
    valueCrc: readU32(bytes, offset + HEAD.valueCrc),
  };
}

/** Whether the value of the record at `offset` of the chip is whole. `scratch`: one page. */
export function isValueSound(
  flash: FlashAccess,
  offset: number,
  head: RecordHead,
  scratch: Uint8Array,
): boolean {
  let crc = 0;
  for (let done = 0; done < head.length; done += scratch.length) {
    const piece = scratch.subarray(0, Math.min(scratch.length, head.length - done));
    flash.flashRead(offset + HEAD_BYTES + done, piece);
    crc = crc32(piece, 0, piece.length, crc);
  }
  return crc === head.valueCrc;
}

/** The value of the record at `offset` of the chip; `isValueSound` has looked at it before. */
export function readValue(flash: FlashAccess, offset: number, head: RecordHead): Uint8Array {
  const value = new Uint8Array(head.length);
  flash.flashRead(offset + HEAD_BYTES, value);
  return value;
}

/** A record in RAM, ready to be written: in that of `before`, one that nobody needs any more, if it is as long. */
export function makeRecord(
  key: number,
  sequence: number,
  value: Uint8Array,
  before: Uint8Array,
): Uint8Array {
  const { length } = value;
  const bytes = recordBytes(length);
  const record = (before.length === bytes ? before : new Uint8Array(bytes)).fill(0xff);
  record[HEAD.key] = key;
  record[HEAD.mark] = MARK;
  writeU16(record, HEAD.length, length);
  writeU32(record, HEAD.sequence, sequence);
  record.set(value, HEAD_BYTES);
  writeU32(record, HEAD.valueCrc, crc32(record, HEAD_BYTES, HEAD_BYTES + length));
  writeU32(record, HEAD.headCrc, crc32(record, 0, HEAD.headCrc));
  return record;
}

/** Programs `bytes` from `offset` on, page by page in order. False as soon as one is refused. */
export function programPages(flash: FlashAccess, offset: number, bytes: Uint8Array): boolean {
  let done = 0;
  while (done < bytes.length) {
    const inPage = FLASH_PAGE_BYTES - ((offset + done) % FLASH_PAGE_BYTES);
    const piece = bytes.subarray(done, done + inPage);
    if (!flash.flashProgram(offset + done, piece)) return false;
    done += piece.length;
  }
  return true;
}
