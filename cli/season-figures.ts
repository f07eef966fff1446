/** `npm run bench -- seasons [crop|all] [room|all] [seeds]`: whole seasons of the shipped crops, a line as each is done. */
import { allPlans } from '../firmware/bench/season/matrix';
import { judgeNuisances, WEEKS_A_NUISANCE } from '../firmware/bench/season/nuisance';
import { runSeason, type Season } from '../firmware/bench/season/season';
import { judgeSeason, type SeasonVerdict } from '../firmware/bench/season/verdict';
import type { AlarmName } from '../shared/alarms/catalogue';

const ALL = 'all';

interface Column {
  readonly title: string;
  readonly width: number;
  of(verdict: SeasonVerdict, season: Season): string;
}

const fixed =
  (digits: number, of: (verdict: SeasonVerdict) => number) =>
  (verdict: SeasonVerdict): string =>
    of(verdict).toFixed(digits);

/** Per plug and since emergence, up to the transplant; `held`: salts in a dry gram of plant, mg. */
const COLUMNS: readonly Column[] = [
  { title: 'crop', width: 9, of: (_, { plan }) => plan.crop },
  { title: 'room', width: 5, of: (_, { plan }) => `${plan.roomC} C` },
  { title: 'grower', width: 16, of: (_, { plan }) => plan.habits },
  { title: 'seed', width: 5, of: (_, { plan }) => `${plan.seed}` },
  { title: 'up d', width: 5, of: fixed(1, (v) => v.emergedDays) },
  { title: 'fed d', width: 6, of: fixed(1, (v) => v.emergedDays + v.firstFeedDays) },
  { title: 'ml', width: 5, of: fixed(1, (v) => v.mlEach) },
  { title: 'mg', width: 5, of: fixed(1, (v) => v.saltsMgEach) },
  { title: 'mg/week', width: 8, of: fixed(1, (v) => v.saltsMgAWeek) },
  { title: 'mS min', width: 7, of: fixed(2, (v) => v.woolLeastMs) },
  { title: 'max', width: 5, of: fixed(2, (v) => v.woolMaxMs) },
  { title: 'held', width: 5, of: fixed(0, (v) => v.heldLeastMgPerG) },
  { title: 'wilted d', width: 9, of: fixed(1, (v) => v.wiltedDays) },
  { title: 'growth', width: 7, of: fixed(2, (v) => v.growthShare) },
  { title: 'hidden', width: 7, of: fixed(3, (v) => v.hiddenDryShare) },
  { title: 'alarms', width: 0, of: alarmsText },
];

/** `too-warm 3`, and with a question mark those for which nothing was wrong. */
function alarmsText({ raised }: SeasonVerdict): string {
  const counts = new Map<string, number>();
  for (const { alarm, right } of raised) {
    const name: `${AlarmName}${'' | '?'}` = right ? alarm : `${alarm}?`;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts].map(([name, count]) => `${name} ${count}`).join(', ') || '-';
}

function print(cells: readonly string[]): void {
  const line = COLUMNS.map(({ width }, i) => (cells[i] ?? '').padEnd(width)).join('');
  process.stdout.write(`${line.trimEnd()}\n`);
}

/** All seasons together; whether they keep the rule. */
function printNuisances(verdicts: readonly SeasonVerdict[]): boolean {
  const { alarms, weeks, allowed, holds } = judgeNuisances(verdicts);
  process.stdout.write(
    `${alarms} alarms without a cause in ${weeks.toFixed(1)} weeks of a tray; one in ${WEEKS_A_NUISANCE} weeks may be, ` +
      `so ${Math.floor(allowed)} here: ${holds ? 'kept' : 'not as it has to be'}\n`,
  );
  return holds;
}

/** Runs the seasons of `crop` in a room of `roomC`, or all, each with so many seeds; returns how many had a fault. */
export function printSeasons(crop = ALL, roomC = ALL, seeds = '1'): number {
  const plans = allPlans(Number(seeds)).filter(
    (plan) => (crop === ALL || plan.crop === crop) && (roomC === ALL || `${plan.roomC}` === roomC),
  );
  process.stdout.write(`${plans.length} seasons; an alarm with "?" had no cause on the bench\n`);
  print(COLUMNS.map(({ title }) => title));
  const verdicts: SeasonVerdict[] = [];
  for (const plan of plans) {
    const season = runSeason(plan);
    const verdict = judgeSeason(season);
    print(COLUMNS.map(({ of }) => of(verdict, season)));
    for (const fault of verdict.faults) process.stdout.write(`  not as it has to be: ${fault}\n`);
    verdicts.push(verdict);
  }
  const faulty = verdicts.filter(({ faults }) => faults.length > 0).length;
  process.stdout.write(`${faulty} of ${plans.length} seasons were not as they have to be\n`);
  return printNuisances(verdicts) ? faulty : faulty + 1;
}
