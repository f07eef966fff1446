/** One build at a time: test files run side by side and share the object files. */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { tryLock } from '../../shared/host/lock';

/** Longest wait for a build that is under way; a first one takes a minute, and three beside much other work. */
const WAIT_MS = 280_000;
const POLL_MS = 100;

/**
 * Does `work` while no other process does work of this folder. The lock tells its owner's process
 * number, so that one left by a build that was killed holds nobody up.
 */
export async function exclusively<T>(folder: string, work: () => Promise<T>): Promise<T> {
  await mkdir(folder, { recursive: true });
  const lock = join(folder, 'building');
  for (let waitedMs = 0; waitedMs < WAIT_MS; waitedMs += POLL_MS) {
    const locking = tryLock(lock);
    if (!locking.taken) {
      await wait(POLL_MS);
      continue;
    }
    try {
      return await work();
    } finally {
      locking.release();
    }
  }
  throw new Error(`Another build seems to hang. End it, or delete ${lock}.`);
}
