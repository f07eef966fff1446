/** Runs a deck in ngspice and reads what it printed. Host side only. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** What to tell whoever runs the tests where the simulator is missing. */
export const MISSING =
  'ngspice is not installed: the circuit simulations were NOT RUN. ' +
  'On Debian and its kin: apt-get install ngspice.';

/** All single faults print about half a megabyte. */
const OUTPUT_MAX_BYTES = 64 * 1024 * 1024;

/** True when ngspice can be started. */
export function haveSimulator(): boolean {
  return spawnSync('ngspice', ['--version'], { stdio: 'ignore' }).status === 0;
}

/**
 * Runs `deck` in batch mode and returns every `name = value` it printed, names in lower case.
 * Throws with the simulator's own words when it fails or prints nothing.
 */
export function simulate(deck: string): ReadonlyMap<string, number> {
  const folder = mkdtempSync(join(tmpdir(), 'trayward-deck-'));
  const file = join(folder, 'deck.cir');
  writeFileSync(file, deck);
  const run = spawnSync('ngspice', ['-b', file], { encoding: 'utf8', maxBuffer: OUTPUT_MAX_BYTES });
  rmSync(folder, { recursive: true });
  const values = new Map<string, number>();
  for (const match of run.stdout.matchAll(/^\s*([a-z][\w()#.]*)\s*=\s*([-+.\de]+)/gim)) {
    const [, name, value] = match;
    if (name !== undefined) values.set(name.toLowerCase(), Number(value));
  }
  if (values.size === 0) throw new Error(`ngspice gave no values.\n${run.stdout}\n${run.stderr}`);
  return values;
}
