/** A life of a stored journal, read by sequence number: what is sent of it. Its file only grows. */
import { readF64, readU16, readU32 } from '../../../shared/bytes';
import {
  ENTRY_BYTES,
  entrySequence,
  isEntrySound,
  JOURNAL_KINDS,
} from '../../../shared/journal/codec';
import { CRC_AT, HEAD, LAYOUT, UPTIME_STEP_MS } from '../../../shared/journal/layout';
import { type EntryFile, openEntryFile } from '../../journal/entry-file';
import { SEND_LIMITS } from '../limits';
import type { LifeMark } from '../wire';

/** Kinds that overtake: what stands at a tray, and what dates it. */
const OVERTAKING: readonly number[] = [
  JOURNAL_KINDS.indexOf('alarm') + 1,
  JOURNAL_KINDS.indexOf('clock') + 1,
];
const CLOCK = JOURNAL_KINDS.indexOf('clock') + 1;

export interface Slice {
  readonly bytes: Uint8Array;
  /** Of the last sound record that was looked at; null where there is none. */
  readonly lastSequence: number | null;
}

export class LifeFile {
  constructor(private readonly file: EntryFile) {}

  get count(): number {
    return Math.floor(this.file.size() / ENTRY_BYTES);
  }

  /** Null while it has no entry yet. */
  mark(): LifeMark | null {
    for (let at = 0; at < this.count; at++) {
      const [first] = this.#sound(at, 1);
      if (first === undefined) continue;
      return {
        sequence: entrySequence(first, 0),
        crc: readU32(first, CRC_AT),
        boot: readU16(first, HEAD.boot),
      };
    }
    return null;
  }

  /** Of the last sound entry; null where there is none. */
  lastSequence(): number | null {
    for (let at = this.count - 1; at >= 0; at--) {
      const [last] = this.#sound(at, 1);
      if (last !== undefined) return entrySequence(last, 0);
    }
    return null;
  }

  /** Sound entries behind `sequence`, `most` at most, packed together. What the disk has spoilt is passed over. */
  after(sequence: number, most: number): Slice {
    for (let index = this.#indexAfter(sequence); index < this.count; index += most) {
      const entries = this.#sound(index, most);
      const last = entries.at(-1);
      if (last !== undefined) {
        return { bytes: packed(entries), lastSequence: entrySequence(last, 0) };
      }
    }
    return { bytes: new Uint8Array(), lastSequence: null };
  }

  /** Of the entries behind `sequence` those that overtake the others. */
  overtaking(sequence: number, most: number): Slice {
    const index = this.#indexAfter(sequence);
    const all = this.#sound(index, this.count - index);
    const chosen = all.filter((entry) => OVERTAKING.includes(entry[HEAD.kind] ?? 0)).slice(0, most);
    const last = chosen.length < most ? all.at(-1) : chosen.at(-1);
    return {
      bytes: packed(chosen),
      lastSequence: last === undefined ? null : entrySequence(last, 0),
    };
  }

  /** When the first entry of `bytes` was made, by a clock of its boot near it; null where none is. Unix ms. */
  timeOf(bytes: Uint8Array): number | null {
    if (bytes.length === 0) return null;
    const boot = readU16(bytes, HEAD.boot);
    const index = this.#indexAfter(entrySequence(bytes, 0) - 1);
    const from = Math.max(0, index - SEND_LIMITS.clockBackEntries);
    const near = this.file.read(from * ENTRY_BYTES, (index - from) * ENTRY_BYTES + bytes.length);
    for (let at = near.length - ENTRY_BYTES; at >= 0; at -= ENTRY_BYTES) {
      if (near[at + HEAD.kind] !== CLOCK || readU16(near, at + HEAD.boot) !== boot) continue;
      if (!isEntrySound(near, at)) continue;
      const apart = readU32(bytes, HEAD.uptime) - readU32(near, at + HEAD.uptime);
      return readF64(near, at + LAYOUT.clock.unixMs.at) + apart * UPTIME_STEP_MS;
    }
    return null;
  }

  close(): void {
    this.file.close();
  }

  /** Sound entries among `count` records from `index` on. */
  #sound(index: number, count: number): readonly Uint8Array[] {
    if (count <= 0) return [];
    const bytes = this.file.read(index * ENTRY_BYTES, count * ENTRY_BYTES);
    const entries: Uint8Array[] = [];
    for (let at = 0; at + ENTRY_BYTES <= bytes.length; at += ENTRY_BYTES) {
      if (isEntrySound(bytes, at)) entries.push(bytes.subarray(at, at + ENTRY_BYTES));
    }
    return entries;
  }

  /** Place of the first record behind `sequence`. Records that the disk has spoilt lie where the next sound one does. */
  #indexAfter(sequence: number): number {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      const next = this.#sequenceFrom(middle, high);
      if (next !== null && next <= sequence) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** Of the first sound record from `index` on; null where none is before `end`. */
  #sequenceFrom(index: number, end: number): number | null {
    for (let at = index; at < end; at++) {
      const [entry] = this.#sound(at, 1);
      if (entry !== undefined) return entrySequence(entry, 0);
    }
    return null;
  }
}

function packed(entries: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(entries.length * ENTRY_BYTES);
  entries.forEach((entry, i) => {
    bytes.set(entry, i * ENTRY_BYTES);
  });
  return bytes;
}

/** The entries of `bytes` up to and with `sequence`. */
export function upTo(bytes: Uint8Array, sequence: number): Uint8Array {
  let end = 0;
  while (end < bytes.length && entrySequence(bytes, end) <= sequence) end += ENTRY_BYTES;
  return bytes.subarray(0, end);
}

/** Does `work` with the life in a segment file, if it has an entry yet. */
export async function withLife(
  path: string,
  work: (file: LifeFile, mark: LifeMark) => Promise<void>,
): Promise<void> {
  const file = new LifeFile(openEntryFile(path, false));
  try {
    const mark = file.mark();
    if (mark !== null) await work(file, mark);
  } finally {
    file.close();
  }
}
