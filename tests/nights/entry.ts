/** What the suite runs, for one bundle. */
export { judgeNight } from '../../cli/explain/judge';
export { runNight } from '../../firmware/bench/nights/night';
export { nightOf } from '../../firmware/bench/nights/plan';
