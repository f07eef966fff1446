/** Where the demo finds what it needs: the clone that it was built in, whatever folder it is started from. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** The profile that it grows by, in the clone. */
export const PROFILE = 'shared/crops/cucumber.yaml';

/** The nearest folder above the built program that has the profile. Throws, in a sentence, where none has. */
export function cloneAbove(
  folder: string,
  isThere: (file: string) => boolean = existsSync,
): string {
  for (let at = folder; ; at = dirname(at)) {
    if (isThere(join(at, PROFILE))) return at;
    if (at === dirname(at))
      throw new Error(
        `${PROFILE} lies in no folder above ${folder}: the demo runs in the clone that it was built in, by \`npm run demo\` there`,
      );
  }
}

/** Where a bench listens, by the first line that it says; throws what it says instead. */
export function benchIn(line: string): { readonly link: string; readonly door: string } {
  const { ok, result, error } = JSON.parse(line);
  if (ok !== true) throw new Error(`the bench did not start: ${error.message}`);
  return { link: result.link, door: result.door };
}
