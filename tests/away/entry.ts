/** What the tests of absences run, as one script: seasons want speed. */

export { coverageOf, cutsOf, dosesOf } from '../../cli/forecast/backtest';
export { runAwaySeason } from '../../firmware/bench/season/absences';
