/** What `cli/README.md` promises to programs is what the program has. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { EXIT_CODES } from '../../cli/failure';
import { commandsIn, helpOf } from './alone';

const README = readFileSync('cli/README.md', 'utf8');

describe('the README of the laptop tool', () => {
  it('names every command', async () => {
    const nouns = commandsIn(await helpOf());
    expect(nouns).toContain('journal');
    for (const noun of nouns) {
      const verbs = commandsIn(await helpOf(noun));
      const row = README.split('\n')
        .filter((line) => line.startsWith(`| \`${noun}`))
        .join('\n');
      expect(row, noun).not.toBe('');
      for (const verb of verbs)
        expect(row, `${noun} ${verb}`).toMatch(new RegExp(`[ \`]${verb}\``));
    }
  });

  it('names every exit code', () => {
    for (const code of Object.values(EXIT_CODES))
      expect(README).toMatch(new RegExp(`^\\| ${code} `, 'm'));
  });
});
