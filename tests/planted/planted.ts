/**
 * `npm run planted`: plants each bug of the list, and sees that the test named beside it fails; without the bug it
 * passes. One line a sentence; what no test finds is a failure.
 */
import { describe, expect, it } from 'vitest';
import type { PlantedBug } from './bug';
import { SECTIONS } from './sections';
import { type Outcome, outcomes, patternOf } from './trial';

const ALL = Object.values(SECTIONS).flat();

/** Without a bug, a file's tests are run once for all the bugs they find. */
const clean = new Map<string, Promise<readonly Outcome[]>>();
function cleanOutcomes(file: string): Promise<readonly Outcome[]> {
  const names = ALL.flatMap(({ foundBy }) => (foundBy.file === file ? [foundBy.test] : []));
  const run = clean.get(file) ?? outcomes(file, [...new Set(names)], null);
  clean.set(file, run);
  return run;
}

async function tried({ foundBy: { file, test }, ...bug }: PlantedBug): Promise<string> {
  const mine = new RegExp(patternOf(test));
  const without = (await cleanOutcomes(file)).filter(({ name }) => mine.test(name));
  if (without.length === 0) return 'has no test';
  if (without.some(({ status }) => status === 'failed')) return 'fails without it too';
  const withBug = (await outcomes(file, [test], { ...bug, foundBy: { file, test } })).filter(
    ({ name }) => mine.test(name),
  );
  return withBug.some(({ status }) => status === 'failed') ? 'found' : 'survives';
}

for (const [section, bugs] of Object.entries(SECTIONS)) {
  describe.concurrent(section, () => {
    for (const bug of bugs) {
      it(`${bug.sentence} (${bug.file})`, async () => {
        expect(await tried(bug)).toBe('found');
      });
    }
  });
}
