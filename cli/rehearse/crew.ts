/** All rehearsals, on all processors where that can be. */
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import { onAllProcessors } from '../../shared/host/crew';
import { type Impossible, type RehearsalTask, rehearse } from './task';

export class ImpossibleRehearsal extends Error {
  override readonly name = 'ImpossibleRehearsal';
  constructor(readonly refusal: Impossible) {
    super(refusal.boardSays);
  }
}

/**
 * Runs all `tasks`; their results are in the order of the tasks. `script`: the program itself, started as a thread;
 * null runs them one after the other here. `done` hears how many are done. Rejects when a rehearsal throws, and when
 * `interrupt` fires: a part of them would tell of other seeds than it says; with `ImpossibleRehearsal` where the board
 * refuses the tray.
 */
export async function rehearseAll(
  tasks: readonly RehearsalTask[],
  script: string | null,
  interrupt: AbortSignal,
  done: (count: number) => void,
): Promise<readonly Rehearsal[]> {
  const results: Rehearsal[] = [];
  let count = 0;
  let refusal: Impossible | null = null;
  const keep = (rehearsal: Rehearsal | Impossible, index: number): boolean => {
    if ('boardSays' in rehearsal) {
      refusal = rehearsal;
      return false;
    }
    results[index] = rehearsal;
    done(++count);
    return true;
  };
  if (script === null) tasks.every((task, i) => keep(rehearse(task), i));
  else await onAllProcessors(script, tasks, keep, interrupt);
  interrupt.throwIfAborted();
  if (refusal !== null) throw new ImpossibleRehearsal(refusal);
  return results;
}
