/**
 * `npm run bench -- model [trays]`: how often the 90 % interval of what a mat gives has the truth in it. Limits are tuned
 * on even seeds; odd ones were only ever counted.
 */
import { runWarmTray } from '../firmware/bench/season/warm-trays';
import { recordOf } from './explain/record';
import { dateEntries } from './journal/dating';
import { type MatHealth, matHealthOf } from './model/mat';

export const MODEL_TRAYS = 200;

const print = (line: string): boolean => process.stdout.write(`${line}\n`);

/** A tray of the bench: what was told of its mat, and what is so. */
export function judgeTray(seed: number) {
  const { journal, profile, profileId, truth } = runWarmTray(seed);
  const record = recordOf(dateEntries(journal), {
    byId: new Map([[profileId, profile]]),
    activeId: profileId,
  });
  const told = matHealthOf(record);
  return { seed, truth, told: told.ok ? told.value : null };
}

const hits = (truthW: number, { now }: MatHealth): boolean =>
  truthW >= now.lowW && truthW <= now.highW;

export function printModel(trays = MODEL_TRAYS): void {
  const judged = Array.from({ length: trays }, (_, seed) => judgeTray(seed));
  print(`90 % intervals of what a mat gives, goal 85 to 95 %: ${trays} trays, 2.5 days each`);
  for (const unseen of [false, true]) {
    const part = judged.filter(({ seed }) => (seed % 2 === 1) === unseen);
    const told = part.flatMap(({ truth, told: one }) =>
      one === null ? [] : [{ truth, one, off: one.now.watts / truth.matW - 1 }],
    );
    const inside = told.filter(({ truth, one }) => hits(truth.matW, one)).length;
    const square = told.reduce((sum, { off }) => sum + off * off, 0) / told.length;
    print(
      `  ${unseen ? 'odd seeds, unseen ' : 'even seeds, tuned '} ${inside} of ${told.length} (${((100 * inside) / told.length).toFixed(1)} %); usually off by ${(100 * Math.sqrt(square)).toFixed(1)} %; ${part.length - told.length} not told`,
    );
  }
}
