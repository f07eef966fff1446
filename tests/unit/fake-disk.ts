/** A file in memory behind the journal store's seam: its disk can be full, and a crash can tear it. */
import type { EntryFile } from '../../cli/journal/entry-file';

export class FakeDisk {
  bytes: number[] = [];
  /** Bytes that fit. */
  room = Number.POSITIVE_INFINITY;

  file(): EntryFile {
    return {
      size: () => this.bytes.length,
      read: (offset, length) => Uint8Array.from(this.bytes.slice(offset, offset + length)),
      append: (more) => {
        const fit = more.subarray(0, Math.max(0, this.room - this.bytes.length));
        this.bytes.push(...fit);
        if (fit.length < more.length) {
          throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
        }
      },
      truncate: (size) => {
        this.bytes.length = size;
      },
      sync: () => {},
      close: () => {},
    };
  }
}
