/** What runs a plan, for one bundle. */
export { drawPlan } from './draw';
export { runPlan, tryPlan } from './play';
