/** Rehearsals on all processors, each given the next when it is done with one. */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import { type RehearsalTask, rehearse } from './task';

/** As many threads as this are of use to nobody. */
const THREADS_MOST = 16;

/**
 * Runs all `tasks`; their results are in the order of the tasks. `script`: the program itself, started as a thread;
 * null runs them one after the other here. `done` hears how many are done. Rejects when a rehearsal throws; ends early,
 * with what is done, when `interrupt` fires.
 */
export async function rehearseAll(
  tasks: readonly RehearsalTask[],
  script: string | null,
  interrupt: AbortSignal,
  done: (count: number) => void,
): Promise<readonly Rehearsal[]> {
  if (script === null) {
    return tasks.map((task, i) => {
      const rehearsal = rehearse(task);
      done(i + 1);
      return rehearsal;
    });
  }
  const results: Rehearsal[] = [];
  let next = 0;
  let count = 0;
  const one = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const worker = new Worker(script);
      let at = -1;
      const end = (error?: Error): void => {
        interrupt.removeEventListener('abort', stop);
        void worker.terminate().then(() => (error === undefined ? resolve() : reject(error)));
      };
      const stop = (): void => end();
      const give = (): void => {
        at = next++;
        const task = tasks[at];
        if (task === undefined) end();
        else worker.postMessage(task);
      };
      worker.on('message', (rehearsal: Rehearsal) => {
        results[at] = rehearsal;
        done(++count);
        give();
      });
      worker.once('error', end);
      interrupt.addEventListener('abort', stop);
      give();
    });
  const threads = Math.min(availableParallelism(), tasks.length, THREADS_MOST);
  await Promise.all(Array.from({ length: threads }, one));
  return results;
}
