/** One build at a time: test files run side by side and share the object files. */
import { mkdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { isRunning } from '../../shared/host/running';

/** Longest wait for a build that is under way; a first one takes a minute. */
const WAIT_MS = 150_000;
const POLL_MS = 100;
/** A lock is written at once: one that says nothing for so long was left by a build that was killed. */
const BLANK_MS = 2_000;

/** Whether whoever made the lock still runs. */
async function isHeld(lock: string): Promise<boolean> {
  try {
    const owner = Number.parseInt(await readFile(lock, 'utf8'), 10);
    if (Number.isInteger(owner)) return isRunning(owner);
    return Date.now() - (await stat(lock)).mtimeMs < BLANK_MS;
  } catch {
    return false;
  }
}

async function take(lock: string): Promise<boolean> {
  return writeFile(lock, String(process.pid), { flag: 'wx' }).then(
    () => true,
    () => false,
  );
}

/** Removes a lock whose owner is gone; puts it back when another build was quicker and owns it now. */
async function breakOpen(lock: string): Promise<void> {
  const aside = `${lock}.${process.pid}`;
  try {
    await rename(lock, aside);
    await ((await isHeld(aside)) ? rename(aside, lock) : rm(aside));
  } catch {
    // Somebody else removed it first.
  }
}

/**
 * Does `work` while no other process does work of this folder. The lock tells its owner's process
 * number, so that one left by a build that was killed holds nobody up.
 */
export async function exclusively<T>(folder: string, work: () => Promise<T>): Promise<T> {
  await mkdir(folder, { recursive: true });
  const lock = join(folder, 'building');
  for (let waitedMs = 0; !(await take(lock)); waitedMs += POLL_MS) {
    if (waitedMs >= WAIT_MS) {
      throw new Error(`Another build seems to hang. End it, or delete ${lock}.`);
    }
    if (await isHeld(lock)) await wait(POLL_MS);
    else await breakOpen(lock);
  }
  try {
    return await work();
  } finally {
    await rm(lock, { force: true });
  }
}
