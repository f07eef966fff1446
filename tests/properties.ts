/**
 * Seeds of the random tests. Each runs on a fixed one, which finds tomorrow what it finds today, and on a
 * fresh one, which is printed and may find something new. What a fresh one found is replayed by
 *
 *     TRAYWARD_SEED=123456 npx vitest run tests/unit/framing.test.ts
 *
 * Whether a test fails one run in hundreds is asked by more fresh ones, from that one on:
 *
 *     TRAYWARD_FRESH_SEEDS=50 npx vitest run tests/unit --testTimeout 600000
 */
import fc from 'fast-check';
import { inject } from 'vitest';

declare module 'vitest' {
  interface ProvidedContext {
    /** The fresh seed of this run: `tests/global-setup.ts` draws and prints it. */
    readonly freshSeed: number;
  }
}

/** What every run begins with. */
export const FIXED_SEED = 20_260_301;
export const FRESH_SEED = inject('freshSeed');
const FRESH_SEEDS_VARIABLE = 'TRAYWARD_FRESH_SEEDS';
const freshSeeds = Number(process.env[FRESH_SEEDS_VARIABLE] ?? 1);
export const SEEDS: readonly number[] = [
  FIXED_SEED,
  ...Array.from({ length: freshSeeds }, (_, i) => FRESH_SEED + i),
];
/** Of the fixed one, and the fresh one. */
const SEEDS_USUAL = 2;

/** Runs of a property when it does not say how many, of both seeds together. */
const RUNS = 100;

/** What to type to see again what a seed has found. */
export const replayWith = (seed: number): string => `TRAYWARD_SEED=${seed}`;

type HowOften = Pick<fc.Parameters, 'numRuns'>;

/** Fails, telling the seed, unless the property holds in `numRuns` cases, half of them of each seed; more fresh seeds are more cases. */
export function holds<Ts>(property: fc.IProperty<Ts>, { numRuns = RUNS }: HowOften = {}): void {
  for (const seed of SEEDS)
    fc.assert(property, { seed, numRuns: Math.ceil(numRuns / SEEDS_USUAL) });
}

/** The same for a property that has to be waited for. */
export async function holdsAsync<Ts>(
  property: fc.IAsyncProperty<Ts>,
  { numRuns = RUNS }: HowOften = {},
): Promise<void> {
  for (const seed of SEEDS) {
    await fc.assert(property, { seed, numRuns: Math.ceil(numRuns / SEEDS_USUAL) });
  }
}
