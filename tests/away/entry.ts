/** What the tests of absences run, as one script: seasons want speed. */

export { coverageOf, cutsOf } from '../../cli/forecast/backtest';
export { runAwaySeason } from '../../firmware/bench/season/absences';
