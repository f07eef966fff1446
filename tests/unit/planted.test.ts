/** The list of planted bugs fits the sources: `npm run planted` tries them all, which takes minutes. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { timesIn } from '../planted/bug';
import { plantBug } from '../planted/plant';
import { SECTIONS } from '../planted/sections';

const ALL = Object.values(SECTIONS).flat();

describe('a planted bug', () => {
  for (const { sentence, file, find, replace, foundBy } of ALL) {
    it(`can be planted, and has a test to find it: ${sentence}`, () => {
      expect(timesIn(readFileSync(file, 'utf8'), find)).toBe(1);
      expect(replace).not.toBe(find);
      expect(readFileSync(foundBy.file, 'utf8')).toContain(foundBy.test);
    });
  }

  it('has a sentence of its own', () => {
    const sentences = ALL.map(({ sentence }) => sentence);
    expect(new Set(sentences).size).toBe(sentences.length);
  });

  it('is planted in its own file alone, and nowhere while none is named', () => {
    const bug = { file: 'firmware/limits.ts', find: 'a = 1', replace: 'a = 2' };
    const into = (plugin: ReturnType<typeof plantBug>, id: string) =>
      (plugin.transform as (code: string, id: string) => unknown)('const a = 1;', id);
    const here = `${process.cwd()}/firmware/limits.ts`;
    expect(into(plantBug(JSON.stringify(bug)), here)).toMatchObject({ code: 'const a = 2;' });
    expect(into(plantBug(JSON.stringify(bug)), `${here}.other`)).toBe(null);
    expect(into(plantBug(undefined), here)).toBe(null);
  });
});
