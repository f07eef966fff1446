/** What the suite runs, for one bundle. */
export { planFor } from '../../firmware/bench/season/matrix';
export { judgeNuisances } from '../../firmware/bench/season/nuisance';
export { rehearsalOf } from '../../firmware/bench/season/rehearsal';
export { runSeason } from '../../firmware/bench/season/season';
export { judgeSeason } from '../../firmware/bench/season/verdict';
