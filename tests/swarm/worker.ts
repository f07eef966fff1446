/** A worker thread of the swarm: plans come in, outcomes go out. */
import { parentPort } from 'node:worker_threads';
import { CALM_TICK_MS } from '../../firmware/bench/bench';
import { drawPlan } from './draw';
import type { Outcome, Plan } from './plan';
import { runPlan } from './play';

/** A seed, whose plan is drawn here, or a plan. */
export type Task = number | Plan;

export interface Done {
  readonly task: Task;
  readonly outcome: Outcome;
}

/** Calm ticks are left out, which is twice as fast; what breaks a promise so is run with every tick, and that counts. */
function outcomeOf(plan: Plan): Outcome {
  const quick = runPlan(plan, CALM_TICK_MS);
  return quick.breaches.length === 0 ? quick : runPlan(plan);
}

parentPort?.on('message', (task: Task) => {
  const plan = typeof task === 'number' ? drawPlan(task) : task;
  parentPort?.postMessage({ task, outcome: outcomeOf(plan) } satisfies Done);
});
