/** What `cli/README.md` promises to programs is what the program has. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { LINK_FAILURES } from '../../cli/as-failure';
import { EXIT_CODES } from '../../cli/failure';

const README = readFileSync('cli/README.md', 'utf8');

describe('the README of the laptop tool', () => {
  it('names every exit code', () => {
    for (const code of Object.values(EXIT_CODES))
      expect(README).toMatch(new RegExp(`^\\| ${code} `, 'm'));
  });

  it('names every reason that comes from the link', () => {
    const own = Object.keys(LINK_FAILURES).filter((kind) => kind !== 'refused' && kind !== 'busy');
    expect(own.length).toBeGreaterThan(5);
    for (const kind of own) expect(README).toMatch(new RegExp(`^\\| \`${kind}\` `, 'm'));
  });

  it('names every variable of the environment that the program reads, and no other', () => {
    const sources = readdirSync('cli', { recursive: true })
      .map(String)
      .filter((name) => name.endsWith('.ts'))
      .map((name) => readFileSync(join('cli', name), 'utf8'));
    const read = new Set(sources.join('').match(/\bTRAYWARD_[A-Z]+/g));
    const told = new Set(README.match(/\bTRAYWARD_[A-Z]+/g));
    expect([...told].sort()).toEqual([...read].sort());
  });
});
