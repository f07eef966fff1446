/** A worker thread of the swarm: plans come in, outcomes go out. */
import { parentPort } from 'node:worker_threads';
import { drawPlan } from './draw';
import type { Outcome, Plan } from './plan';
import { tryPlan } from './play';

/** A seed, whose plan is drawn here, or a plan. */
export type Task = number | Plan;

export interface Done {
  readonly task: Task;
  /** How many things happened. */
  readonly events: number;
  readonly outcome: Outcome;
}

parentPort?.on('message', (task: Task) => {
  const plan = typeof task === 'number' ? drawPlan(task) : task;
  const events = plan.events.length;
  parentPort?.postMessage({ task, events, outcome: tryPlan(plan) } satisfies Done);
});
