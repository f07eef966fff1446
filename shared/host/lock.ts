/** A lock file that keeps two programs apart; one left behind by a program that died is taken over. For Node only. */
import { readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { isRunning } from './running';

/** A lock is written at once: one that says nothing for so long was left by a program that died. */
const BLANK_MS = 2_000;

/** The lock, with the way to give it back; or who has it, where that is written down already. */
export type Locking =
  | { readonly taken: true; readonly release: () => void }
  | { readonly taken: false; readonly holder: number | null };

/** Who holds the lock at `path`: a process number, `unknown` while it is being written, null for nobody. */
function holderOf(path: string): number | 'unknown' | null {
  try {
    const text = readFileSync(path, 'utf8').trim();
    if (text !== '') return isRunning(Number(text)) ? Number(text) : null;
    return Date.now() - statSync(path).mtimeMs < BLANK_MS ? 'unknown' : null;
  } catch {
    return null;
  }
}

/** Removes a lock that nobody holds; puts it back when another program was quicker and holds it now. */
function breakOpen(path: string): void {
  const aside = `${path}.${process.pid}`;
  try {
    renameSync(path, aside);
    if (holderOf(aside) === null) rmSync(aside);
    else renameSync(aside, path);
  } catch {
    // Somebody else removed it first.
  }
}

/** Whether the lock file could be made; throws what is wrong but that it is there already. */
function make(path: string): boolean {
  try {
    writeFileSync(path, `${process.pid}\n`, { flag: 'wx' });
    return true;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return false;
    throw error;
  }
}

/** Takes the lock at `path`, without waiting. Throws Node's error where the file cannot be made at all. */
export function tryLock(path: string): Locking {
  const taken: Locking = { taken: true, release: () => rmSync(path, { force: true }) };
  if (make(path)) return taken;
  if (holderOf(path) === null) {
    breakOpen(path);
    if (make(path)) return taken;
  }
  const holder = holderOf(path);
  return { taken: false, holder: typeof holder === 'number' ? holder : null };
}
