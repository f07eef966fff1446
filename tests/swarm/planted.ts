/** Bugs that the swarm has to find: each is planted, and seeds are tried until one breaks a promise that holds without it. */
import { resolve } from 'node:path';
import { onAllProcessors } from '../../shared/host/crew';
import { type Bug, bundle } from '../bundle';
import type { Breach } from './plan';
import type { Done, Task } from './worker';

/** Each is found within so many seeds. */
export const PLANTED_SEEDS_MOST = 100;
const FIRST_SEED = 1;

export const PLANTED: readonly Bug[] = [
  {
    sentence: 'The mat rests for a minute before it heats again.',
    file: 'firmware/control/heat.ts',
    find: 'rootZoneC < band.lowC && ranMs >= limits.minOffMs',
    replace: 'rootZoneC < band.lowC',
  },
  {
    sentence: 'No more water in a day than the profile allows.',
    file: 'firmware/control/caps.ts',
    find: 'day: given.dayMl + doseMl > watering.maxDayMl,',
    replace: 'day: false,',
  },
  {
    sentence: 'A tray dry past the start share is watered.',
    file: 'firmware/control/need.ts',
    find: 'if (input.dryBackShare < startShare) return 0;',
    replace: 'if (input.dryBackShare < startShare + 0.1) return 0;',
  },
  {
    sentence: 'What is mended is over: heat and water return.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (record.present) return false;\n    if (record.standing) {',
    replace:
      '    if (record.present || record.spec.dropsMat) return false;\n    if (record.standing) {',
  },
  {
    sentence: 'Hands that are gone hold no water off.',
    file: 'firmware/limits.ts',
    find: 'quietMs: 2 * MINUTE_MS,',
    replace: 'quietMs: 24 * HOUR_MS,',
  },
  {
    sentence: 'A root zone out of its band is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooWarmMs: 2 * HOUR_MS,',
    replace: 'tooWarmMs: 20 * HOUR_MS,',
  },
  {
    sentence: 'A tray too dry is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooDryMs: 10 * MINUTE_MS,',
    replace: 'tooDryMs: 60 * HOUR_MS,',
  },
  {
    sentence: 'A stage lasts as long as the profile says.',
    file: 'firmware/tick/staging.ts',
    find: 'progress.stageRunMs += dtMs;',
    replace: 'progress.stageRunMs += 2 * dtMs;',
  },
  {
    sentence: 'Off the scale there is no heat and no water.',
    file: 'firmware/limits.ts',
    find: 'absentShare: 0.5,',
    replace: 'absentShare: 9,',
  },
  {
    sentence: 'A journal entry is written once, in a place of its own.',
    file: 'firmware/storage/journal.ts',
    find: 'return firstSequenceOf(ring.numberOf(current)) + slot;',
    replace: 'return firstSequenceOf(ring.numberOf(current)) + slot + (slot > 99 ? 1 : 0);',
  },
  {
    sentence: 'Settings outlive a cut in the middle of a write.',
    file: 'firmware/storage/settings.ts',
    find: 'if (newer && isValueSound(flash, at, head, scratch)) live.set',
    replace: 'if (newer) live.set',
  },
];

/** One line a bug; true when all were found. What is broken without any bug counts for none. */
export async function findPlanted(folder: string, say: (text: string) => void): Promise<boolean> {
  const seeds = Array.from({ length: PLANTED_SEEDS_MOST }, (_, i) => FIRST_SEED + i);
  const clean = resolve(folder, 'worker.cjs');
  await bundle('tests/swarm/worker.ts', clean);
  let all = true;
  say('| planted against | found by | seed | seeds tried |');
  say('| --- | --- | --- | --- |');
  /** What each seed breaks without a bug, asked only where it breaks something with one. */
  const known = new Map<number, readonly string[]>();
  for (const [i, bug] of PLANTED.entries()) {
    const script = resolve(folder, `planted-${i}.cjs`);
    await bundle('tests/swarm/worker.ts', script, bug);
    let tried = 0;
    let found: { readonly seed: number; readonly breach: Breach } | null = null;
    const ahead = [...seeds];
    while (found === null && ahead.length > 0) {
      const suspects: { readonly seed: number; readonly breaches: readonly Breach[] }[] = [];
      await onAllProcessors<Task, Done>(script, ahead, ({ task, outcome }) => {
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
