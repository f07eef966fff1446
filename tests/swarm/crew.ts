/** Workers on all processors, each given the next seed when it is done with one. */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Done, Task } from './worker';

/**
 * Runs all of `tasks` on as many threads as there are processors; `done` hears of each, in any order, and
 * says whether to go on.
 */
export async function runAll(
  script: string,
  tasks: readonly Task[],
  done: (done: Done) => boolean,
): Promise<void> {
  let next = 0;
  let goesOn = true;
  const threads = Math.min(availableParallelism(), tasks.length);
  const one = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const worker = new Worker(script);
      const give = (): void => {
        const task = goesOn ? tasks[next] : undefined;
        next += 1;
        if (task === undefined) worker.terminate().then(() => resolve(), reject);
        else worker.postMessage(task);
      };
      worker.on('message', (message: Done) => {
        // What was under way when the rest was called off is not counted.
        if (goesOn) goesOn = done(message);
        give();
      });
      worker.on('error', reject);
      give();
    });
  await Promise.all(Array.from({ length: threads }, one));
}
