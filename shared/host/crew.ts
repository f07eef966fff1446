/** Threads on all processors, each given the next task when it is done with one. */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';

/** More threads than this are of use to nobody. */
const THREADS_MOST = 16;

/**
 * Runs `tasks` on threads of `script`, each of which answers a task that it is sent with one message. `done` hears of
 * each, in any order, with its place among the tasks, and says whether to go on: false drops what is still under way.
 * Rejects when a thread throws; ends early when `interrupt` fires.
 */
export async function onAllProcessors<Task, Result>(
  script: string,
  tasks: readonly Task[],
  done: (result: Result, index: number) => boolean,
  interrupt: AbortSignal = new AbortController().signal,
): Promise<void> {
  let next = 0;
  let goesOn = true;
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
        if (goesOn && at < tasks.length) worker.postMessage(tasks[at]);
        else end();
      };
      worker.on('message', (result: Result) => {
        if (goesOn) goesOn = done(result, at);
        give();
      });
      worker.once('error', end);
      interrupt.addEventListener('abort', stop);
      give();
    });
  const threads = Math.min(availableParallelism(), tasks.length, THREADS_MOST);
  await Promise.all(Array.from({ length: threads }, one));
}
