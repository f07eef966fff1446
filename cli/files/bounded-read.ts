/** Reads files that a person named: only what is a file like any other, and no more than is sensible. */
import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { fileSentence, invalid } from '../failure';

const CHUNK_BYTES = 65_536;
const NEXT = 'Check the path and the name.';

/** Without waiting for anybody who may write to it: a pipe would hold the program until then. */
const READ = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** Bytes of an open file; null when there are more than `maxBytes`, whatever size the system says it has. */
function bytesOf(file: number, maxBytes: number): Buffer | null {
  const parts: Buffer[] = [];
  for (let total = 0; total <= maxBytes; ) {
    const part = Buffer.alloc(CHUNK_BYTES);
    const got = readSync(file, part, 0, CHUNK_BYTES, null);
    if (got === 0) return Buffer.concat(parts);
    parts.push(part.subarray(0, got));
    total += got;
  }
  return null;
}

/**
 * The content of `file`, at most `maxBytes`; `what` it should be is said when it cannot be, such as `a profile`.
 * Throws `CommandError`: `no-such-file`, `not-a-file` for a device or a pipe, `file-too-large`.
 */
export function readBounded(file: string, maxBytes: number, what: string): Buffer {
  let open: number | null = null;
  try {
    open = openSync(file, READ);
    const found = fstatSync(open);
    if (!found.isFile() && !found.isDirectory()) {
      throw invalid('not-a-file', `${file} is a device or a pipe: ${what} is a file.`, NEXT);
    }
    const bytes = bytesOf(open, maxBytes);
    if (bytes !== null) return bytes;
    throw invalid('file-too-large', `${file} is too large for ${what}.`, NEXT);
  } catch (error) {
    const { code, syscall } = Object(error);
    if (typeof syscall !== 'string') throw error;
    throw invalid('no-such-file', `${file}: ${fileSentence(String(code))}`, NEXT);
  } finally {
    if (open !== null) closeSync(open);
  }
}
