/** Done once for a whole run, before any test: the fresh seed is drawn, and the run gets its name. */
import type { TestProject } from 'vitest/node';

const SEED_VARIABLE = 'TRAYWARD_SEED';
/** Seeds of the random tests are below this. */
const SEEDS = 2 ** 31;

function freshSeed(): number {
  const text = process.env[SEED_VARIABLE];
  const seed = text === undefined ? Date.now() % SEEDS : Number(text);
  if (!Number.isInteger(seed)) throw new Error(`${SEED_VARIABLE} is no whole number: ${text}`);
  return seed;
}

export default async function setUp(project: TestProject): Promise<void> {
  const seed = freshSeed();
  process.stderr.write(
    `Random tests: fresh seed ${seed}; ${SEED_VARIABLE}=${seed} replays them.\n`,
  );
  project.provide('freshSeed', seed);
  project.provide('run', `${process.pid} at ${Date.now()}`);
}
