/** Files that are written whole or not at all, so that a full disk leaves no torn one behind. */
import { realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';

/** Text, in UTF-8, or bytes. */
type Content = string | Uint8Array;

/** Writes a file that must not be there yet; throws `EEXIST` when it is. */
export function writeNew(file: string, content: Content): void {
  // Fails before anything is written when the file is there.
  writeFileSync(file, '', { flag: 'wx' });
  try {
    writeFileSync(file, content);
  } catch (error) {
    rmSync(file, { force: true });
    throw error;
  }
}

/** What `file` stands for in the end, when it is there and a file like any other; else null. */
function plainFile(file: string): string | null {
  return statSync(file, { throwIfNoEntry: false })?.isFile() ? realpathSync(file) : null;
}

/** Writes a file in the place of whatever is there. The old one stays until the new one is whole. */
export function writeOver(file: string, content: Content): void {
  const old = plainFile(file);
  // A device or a pipe is written to, never replaced.
  if (old === null) {
    writeFileSync(file, content);
    return;
  }
  const part = `${old}.part`;
  rmSync(part, { force: true });
  writeNew(part, content);
  try {
    renameSync(part, old);
  } catch (error) {
    rmSync(part, { force: true });
    throw error;
  }
}
