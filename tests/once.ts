/** What all test files need and takes long is made once in a run, by whichever comes first. */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { inject } from 'vitest';
import { exclusively } from '../firmware/image/lock';
import { imagePaths } from '../firmware/image/paths';

declare module 'vitest' {
  interface ProvidedContext {
    /** Tells this run of the tests from every other: `tests/global-setup.ts` makes it up. */
    readonly run: string;
  }
}

/**
 * What `make` gives as text: made by the first that asks in this run, for the others to read. They wait
 * meanwhile. The text of an earlier run is made anew, since its sources may have been others.
 */
export async function onceARun(name: string, make: () => Promise<string>): Promise<string> {
  const folder = join(imagePaths().root, '.cache/tests', name);
  const first = `${inject('run')}\n`;
  return exclusively(folder, async () => {
    const path = join(folder, 'made');
    const kept = await readFile(path, 'utf8').catch(() => '');
    if (kept.startsWith(first)) return kept.slice(first.length);
    const made = await make();
    await writeFile(path, first + made);
    return made;
  });
}
