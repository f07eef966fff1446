/** A lock file that keeps two pulls apart; one left behind by a program that died is taken over. */
import { readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { isRunning } from '../../shared/host/running';
import { refused } from '../failure';

/** A lock is written at once: one that says nothing for so long was left by a program that died. */
const BLANK_MS = 2_000;

/** Who holds the lock at `path`: a process number, `unknown` while it is being written, null for nobody. */
function holder(path: string): number | 'unknown' | null {
  try {
    const text = readFileSync(path, 'utf8').trim();
    if (text !== '') return isRunning(Number(text)) ? Number(text) : null;
    return Date.now() - statSync(path).mtimeMs < BLANK_MS ? 'unknown' : null;
  } catch {
    return null;
  }
}

/** Removes a lock that nobody holds; puts it back when another pull was quicker and holds it now. */
function breakOpen(path: string): void {
  const aside = `${path}.${process.pid}`;
  try {
    renameSync(path, aside);
    if (holder(aside) === null) rmSync(aside);
    else renameSync(aside, path);
  } catch {
    // Somebody else removed it first.
  }
}

/** Takes the lock at `path` and returns the way to give it back. Refuses while another holds it. */
export function takeLock(path: string): () => void {
  for (let attempt = 0; ; attempt++) {
    try {
      writeFileSync(path, `${process.pid}\n`, { flag: 'wx' });
      return () => rmSync(path, { force: true });
    } catch (error) {
      const exists = error instanceof Error && 'code' in error && error.code === 'EEXIST';
      if (!exists) throw error;
      const held = holder(path);
      if (attempt > 0 || held !== null) {
        throw refused(
          'pull-under-way',
          `Another pull of this journal is under way${typeof held === 'number' ? ` (process ${held})` : ''}.`,
          'Wait until it has finished, then run the command again.',
        );
      }
      breakOpen(path);
    }
  }
}
