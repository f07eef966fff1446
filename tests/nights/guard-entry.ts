/** What the test of the guard's table runs, for one bundle. */
export { runFault, scenesOf } from './guard-run';
