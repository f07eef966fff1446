/**
 * A few plans of the swarm: whatever happens, nothing is unsafe, nothing is lost, nothing goes wrong in silence, and
 * what was put right is right. `npm run swarm` runs as many as wanted.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bundle } from './bundle';
import { drawPlan } from './draw';
import { planText } from './words';

type Entry = typeof import('./entry');

const folder = mkdtempSync(join(tmpdir(), 'trayward-swarm-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** As one script: it runs twice as fast as in single modules. */
async function bundled(): Promise<Entry> {
  const outfile = join(folder, 'swarm.cjs');
  await bundle('tests/swarm/entry.ts', outfile);
  return createRequire(import.meta.url)(outfile);
}

const { runPlan } = await bundled();

/** 141 and 228 once broke a promise. Fresh ones are the command's: what it may still find must not fail a change. */
const SEEDS = [105, 115, 120, 141, 228];
/** Known to be broken, and why: `README.md`. The command tells of it, the suite waits for its mend. */
const OPEN: readonly string[] = ['heat-without-tray', 'latched-again'];

describe('a tray to which anything happens', () => {
  it.each(SEEDS)('keeps every promise with seed %i', (seed) => {
    const plan = drawPlan(seed);
    const breaches = runPlan(plan).breaches.filter(({ promise }) => !OPEN.includes(promise));
    expect(breaches, `${planText(plan)}\nnpm run swarm -- --seed ${seed}`).toEqual([]);
  });

  it('comes to the same end when it happens again', () => {
    const plan = { ...drawPlan(105), recoverMin: 4 * 60 };
    expect(runPlan(JSON.parse(JSON.stringify(plan)))).toEqual(runPlan(plan));
  });
});
