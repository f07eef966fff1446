/** All rehearsals, on all processors where that can be. */
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import { onAllProcessors } from '../../shared/host/crew';
import { type RehearsalTask, rehearse } from './task';

/**
 * Runs all `tasks`; their results are in the order of the tasks. `script`: the program itself, started as a thread;
 * null runs them one after the other here. `done` hears how many are done. Rejects when a rehearsal throws, and when
 * `interrupt` fires: a part of them would tell of other seeds than it says.
 */
export async function rehearseAll(
  tasks: readonly RehearsalTask[],
  script: string | null,
  interrupt: AbortSignal,
  done: (count: number) => void,
): Promise<readonly Rehearsal[]> {
  const results: Rehearsal[] = [];
  let count = 0;
  const keep = (rehearsal: Rehearsal, index: number): boolean => {
    results[index] = rehearsal;
    done(++count);
    return true;
  };
  if (script === null) tasks.forEach((task, i) => void keep(rehearse(task), i));
  else await onAllProcessors(script, tasks, keep, interrupt);
  interrupt.throwIfAborted();
  return results;
}
