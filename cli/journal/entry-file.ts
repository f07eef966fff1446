/** A file that only grows, as the journal store needs it. The seam that tests put a full disk behind. */
import {
  closeSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readSync,
  writeSync,
} from 'node:fs';

export interface EntryFile {
  size(): number;
  /** Up to `length` bytes from `offset`; fewer at the end of the file. */
  read(offset: number, length: number): Uint8Array;
  /** Writes at the end. May throw with a part of `bytes` written. */
  append(bytes: Uint8Array): void;
  truncate(size: number): void;
  /** Returns when the bytes are on the disk itself. */
  sync(): void;
  close(): void;
}

/** Opens `path`, making the file when there is none (`make`). */
export function openEntryFile(path: string, make: boolean): EntryFile {
  const file = openSync(path, make ? 'a+' : 'r');
  return {
    size: () => fstatSync(file).size,
    read(offset, length) {
      const bytes = new Uint8Array(length);
      let got = 0;
      while (got < length) {
        const n = readSync(file, bytes, got, length - got, offset + got);
        if (n === 0) break;
        got += n;
      }
      return bytes.subarray(0, got);
    },
    append(bytes) {
      let done = 0;
      while (done < bytes.length) done += writeSync(file, bytes, done, bytes.length - done);
    },
    truncate: (size) => ftruncateSync(file, size),
    sync: () => fsyncSync(file),
    close: () => closeSync(file),
  };
}
