/** A lock file that keeps two pulls apart; one left behind by a program that died is taken over. */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { refused } from '../failure';

function holder(path: string): number {
  try {
    return Number(readFileSync(path, 'utf8').trim());
  } catch {
    return Number.NaN;
  }
}

function runs(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: it runs, under another name.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
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
      const pid = holder(path);
      if (attempt > 0 || runs(pid)) {
        throw refused(
          'pull-under-way',
          `Another pull of this journal is under way (process ${pid}).`,
          'Wait until it has finished, then run the command again.',
        );
      }
      rmSync(path, { force: true });
    }
  }
}
