/**
 * One segment: the entries of one life of a controller's journal, as the 32 packed bytes the board
 * sent, one after the other and nothing else. A torn tail is cut off when it is opened for writing.
 */
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import type { JournalEntry } from '../../shared/journal/kinds';
import type { EntryFile } from './entry-file';

/** Entries are read this many at a time. */
const READ_ENTRIES = 4096;

/** What a look through a segment found. */
export interface SegmentContent {
  readonly entries: readonly JournalEntry[];
  /** Entries whose CRC did not match: the disk has changed them. */
  readonly damaged: number;
}

/** Readable entries of a segment, all or the last `most`, in the order of their sequence. A torn tail is left out. */
export function readSegment(file: EntryFile, most = Number.POSITIVE_INFINITY): SegmentContent {
  const entries: JournalEntry[] = [];
  let damaged = 0;
  const whole = Math.floor(file.size() / ENTRY_BYTES);
  for (let at = Math.max(0, whole - most); at < whole; at += READ_ENTRIES) {
    const count = Math.min(READ_ENTRIES, whole - at);
    const bytes = file.read(at * ENTRY_BYTES, count * ENTRY_BYTES);
    for (let i = 0; i < count; i++) {
      const entry = unpackEntry(bytes, i * ENTRY_BYTES);
      if (entry === null) damaged++;
      else entries.push(entry);
    }
  }
  return { entries, damaged };
}

/** A segment open for writing. */
export interface Segment {
  /** The newest entry stored, or null while there is none. */
  last(): JournalEntry | null;
  /** The newest entry's packed bytes, or null. */
  lastPacked(): Uint8Array | null;
  /**
   * Stores the packed entries of `bytes` that follow the newest one, and returns how many. Throws
   * what the disk throws; then nothing of `bytes` stays behind.
   */
  append(bytes: Uint8Array): AppendResult;
  sync(): void;
  close(): void;
}

export interface AppendResult {
  readonly stored: number;
  /** Entries left out because they were there already. */
  readonly known: number;
  /** Entries left out because their CRC did not match. */
  readonly damaged: number;
  /** Sequence numbers missing before or between the entries stored. */
  readonly missing: number;
}

function endOfLastEntry(file: EntryFile): number {
  let entries = Math.floor(file.size() / ENTRY_BYTES);
  while (entries > 0) {
    const bytes = file.read((entries - 1) * ENTRY_BYTES, ENTRY_BYTES);
    if (bytes.length === ENTRY_BYTES && unpackEntry(bytes, 0) !== null) break;
    entries--;
  }
  return entries * ENTRY_BYTES;
}

/** Takes back what was half written. Where even that fails, the next opening does it. */
function cutBack(file: EntryFile, size: number): void {
  try {
    file.truncate(size);
  } catch {
    // Why it could not be written matters more.
  }
}

/** Opens a segment for writing, first cutting off what a crash left half-written at its end. */
export function openSegment(file: EntryFile): Segment {
  let size = endOfLastEntry(file);
  if (size !== file.size()) file.truncate(size);
  let packed: Uint8Array | null = size === 0 ? null : file.read(size - ENTRY_BYTES, ENTRY_BYTES);
  let last = packed === null ? null : unpackEntry(packed, 0);

  return {
    last: () => last,
    lastPacked: () => packed,
    append(bytes) {
      const fresh = selectFresh(bytes, last);
      if (fresh.newest === null) return fresh.result;
      try {
        file.append(fresh.bytes);
      } catch (error) {
        cutBack(file, size);
        throw error;
      }
      size += fresh.bytes.length;
      last = fresh.newest;
      packed = fresh.bytes.slice(fresh.bytes.length - ENTRY_BYTES);
      return fresh.result;
    },
    sync: () => file.sync(),
    close: () => file.close(),
  };
}

interface Fresh {
  readonly bytes: Uint8Array;
  readonly newest: JournalEntry | null;
  readonly result: AppendResult;
}

/** The entries of `bytes` that are whole and newer than `last`, packed together. Pure. */
function selectFresh(bytes: Uint8Array, last: JournalEntry | null): Fresh {
  const chosen = new Uint8Array(bytes.length);
  let newest: JournalEntry | null = null;
  let stored = 0;
  let known = 0;
  let damaged = 0;
  let missing = 0;
  for (let offset = 0; offset + ENTRY_BYTES <= bytes.length; offset += ENTRY_BYTES) {
    const entry = unpackEntry(bytes, offset);
    const before: JournalEntry | null = newest ?? last;
    if (entry === null) {
      damaged++;
    } else if (before !== null && entry.sequence <= before.sequence) {
      known++;
    } else {
      if (before !== null) missing += entry.sequence - before.sequence - 1;
      chosen.set(bytes.subarray(offset, offset + ENTRY_BYTES), stored * ENTRY_BYTES);
      stored++;
      newest = entry;
    }
  }
  return {
    bytes: chosen.subarray(0, stored * ENTRY_BYTES),
    newest,
    result: { stored, known, damaged, missing },
  };
}
