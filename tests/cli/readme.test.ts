/** What `cli/README.md` promises to programs is what the program has. */
import { readFileSync } from 'node:fs';
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { EXIT_CODES } from '../../cli/failure';
import { main } from '../../cli/main';

const README = readFileSync('cli/README.md', 'utf8');

async function helpOf(...words: string[]): Promise<string> {
  let said = '';
  const nobody = (): Promise<never> => Promise.reject(new Error('help needs no controller'));
  await main([...words, '--help'], {
    stdout: { write: (text) => (said += text) },
    stderr: { write: (text) => (said += text) },
    stdin: new PassThrough(),
    env: {},
    now: () => 0,
    nowAt: async () => 0,
    sleep: async () => {},
    connect: nobody,
    findControllers: nobody,
    interrupt: new AbortController().signal,
  });
  return said;
}

/** Names in the list of commands of a help text. */
const commandsIn = (help: string): string[] =>
  [...(help.split('\nCommands:\n')[1] ?? '').matchAll(/^ {2}([a-z]+)\b/gm)]
    .map(([, name = '']) => name)
    .filter((name) => name !== 'help');

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
