/** The file of an outbox. The seam that tests put a crash or a full disk behind. */
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { makeFolder } from '../../files/folder';
import { openEntryFile } from '../../journal/entry-file';

export interface OutboxDisk {
  /** All that is in the file; empty where there is none. */
  read(): Uint8Array;
  /** Writes at the end, and returns when it is on the disk itself. Where it throws nothing of `bytes` stays behind. */
  append(bytes: Uint8Array): void;
  /** Puts `bytes` in the place of all that was there, in one step. */
  replace(bytes: Uint8Array): void;
}

/** For nobody but its owner: messages tell who is away, and when. */
const OWN = 0o600;

/** What a rename needs to outlast a power cut. Windows cannot, and does not have to. */
function syncFolder(folder: string): void {
  if (process.platform === 'win32') return;
  const open = openSync(folder, 'r');
  try {
    fsyncSync(open);
  } finally {
    closeSync(open);
  }
}

/** The outbox in `folder`, which is made where it is missing. Throws the system's errors. */
export function openOutboxDisk(folder: string): OutboxDisk {
  makeFolder(folder);
  const path = join(folder, 'outbox');
  return {
    read: () => (existsSync(path) ? new Uint8Array(readFileSync(path)) : new Uint8Array()),
    append(bytes) {
      const file = openEntryFile(path, true);
      try {
        const size = file.size();
        try {
          file.append(bytes);
          file.sync();
        } catch (error) {
          file.truncate(size);
          throw error;
        }
      } finally {
        file.close();
      }
    },
    replace(bytes) {
      const part = `${path}.part`;
      rmSync(part, { force: true });
      const file = openSync(part, 'wx', OWN);
      try {
        for (let done = 0; done < bytes.length; ) {
          done += writeSync(file, bytes, done, bytes.length - done);
        }
        fsyncSync(file);
      } finally {
        closeSync(file);
      }
      renameSync(part, path);
      syncFolder(dirname(path));
    },
  };
}
