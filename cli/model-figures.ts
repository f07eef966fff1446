/**
 * `npm run bench -- model [trays]`: how often the 90 % interval of each figure of `tray model` has the truth in it. Limits
 * are tuned on even seeds; odd ones were only ever counted.
 */
import { runGrowingTray } from '../firmware/bench/season/growing-trays';
import { runWarmTray } from '../firmware/bench/season/warm-trays';
import { runWateredTray } from '../firmware/bench/season/watered-trays';
import {
  JUDGED,
  type Judged,
  type Judgement,
  judgeGrowing,
  judgeWarm,
  judgeWatered,
} from './model/coverage';

/** Of each kind: half of them to tune by, and 200 unseen, by which 90 % are told to 2. */
export const MODEL_TRAYS = 400;

const print = (line: string): boolean => process.stdout.write(`${line}\n`);

const hits = ({ told, truth }: Judgement): boolean =>
  told !== null && truth >= told.low && truth <= told.high;

const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

export function printModel(trays = MODEL_TRAYS): void {
  print(
    `90 % intervals of a tray's figures, goal 85 to 95 %: ${trays} trays each, warm, watered and growing`,
  );
  const judged: Judgement[] = [];
  for (let seed = 0; seed < trays; seed++)
    judged.push(
      ...judgeWarm(runWarmTray(seed)),
      ...judgeWatered(runWateredTray(seed)),
      ...judgeGrowing(runGrowingTray(seed)),
    );
  for (const unseen of [false, true]) {
    print(unseen ? '  odd seeds, unseen' : '  even seeds, by which limits are tuned');
    for (const what of NAMES) {
      const all = judged.filter((one) => one.what === what && (one.seed % 2 === 1) === unseen);
      print(`    ${what.padEnd(32)}${coverageText(all)}`);
    }
  }
}
const NAMES = Object.keys(JUDGED).filter((name): name is Judged => name in JUDGED);

function coverageText(all: readonly Judgement[]): string {
  const told = all.flatMap((one) => (one.told === null ? [] : [{ ...one, told: one.told }]));
  const inside = told.filter(hits).length;
  const off = told.map(({ told: { value }, truth, what }) =>
    JUDGED[what] === 'share' ? value / truth - 1 : value - truth,
  );
  const half = told.map(({ told: { low, high, value }, what }) =>
    JUDGED[what] === 'share' ? (high - low) / 2 / value : (high - low) / 2,
  );
  const isShare = all[0] !== undefined && JUDGED[all[0].what] === 'share';
  const written = (value: number): string =>
    isShare ? `${(100 * value).toFixed(1)} %` : value.toFixed(2);
  return `${inside} of ${told.length} (${((100 * inside) / told.length).toFixed(1)} %); half-width ${written(middle(half))}, usually off by ${written(middle(off.map(Math.abs)))}, in the middle by ${written(middle(off))}; ${all.length - told.length} not told`;
}
