/** Plants each bug in turn, and tries seeds until one breaks a promise that holds without it. */
import { resolve } from 'node:path';
import { onAllProcessors } from '../../shared/host/crew';
import { bundle } from '../bundle';
import type { Breach } from './plan';
import { PLANTED } from './planted';
import type { Done, Task } from './worker';

/** Each is found within so many seeds. */
const SEEDS_MOST = 200;
const FIRST_SEED = 1_000_000;

/** One line a bug whose sentence has `words`; true when all were found. What is broken without any bug counts for none. */
export async function findPlanted(
  folder: string,
  words: string,
  say: (text: string) => void,
): Promise<boolean> {
  const bugs = PLANTED.filter(({ sentence }) => sentence.includes(words));
  const seeds = Array.from({ length: SEEDS_MOST }, (_, i) => FIRST_SEED + i);
  const clean = resolve(folder, 'worker.cjs');
  await bundle('tests/swarm/worker.ts', clean);
  let all = true;
  say('| planted against | found by | seed | seeds tried |');
  say('| --- | --- | --- | --- |');
  /** What each seed breaks without a bug, asked only where it breaks something with one. */
  const known = new Map<number, readonly string[]>();
  for (const [i, bug] of bugs.entries()) {
    const script = resolve(folder, `planted-${i}.cjs`);
    await bundle('tests/swarm/worker.ts', script, bug);
    let tried = 0;
    let found: { readonly seed: number; readonly breach: Breach } | null = null;
    const ahead = [...seeds];
    while (found === null && ahead.length > 0) {
      const suspects: { readonly seed: number; readonly breaches: readonly Breach[] }[] = [];
      await onAllProcessors<Task, Done>(script, [...ahead], ({ task, outcome }) => {
        const seed = Number(task);
        tried += 1;
        ahead.splice(ahead.indexOf(seed), 1);
        if (outcome.breaches.length > 0) suspects.push({ seed, breaches: outcome.breaches });
        return suspects.length === 0;
      });
      const [suspect] = suspects;
      if (suspect === undefined) break;
      const { seed, breaches } = suspect;
      if (!known.has(seed)) {
        await onAllProcessors<Task, Done>(clean, [seed], ({ outcome }) => {
          known.set(
            seed,
            outcome.breaches.map(({ promise }) => promise),
          );
          return true;
        });
      }
      const breach = breaches.find(({ promise }) => !known.get(seed)?.includes(promise));
      if (breach !== undefined) found = { seed, breach };
    }
    if (found === null) all = false;
    const how = found === null ? 'NOT FOUND | ' : `${found.breach.promise} | ${found.seed}`;
    say(`| ${bug.sentence} | ${how} | ${tried} |`);
  }
  return all;
}
