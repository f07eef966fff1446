/** What a shell completes: nouns, verbs, options and choices, as the program itself has them. */
import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { COMPLETE } from '../../cli/commands/completion';
import { NOUNS } from '../../cli/nouns';
import { ARGUMENT_NAMES } from '../../cli/offered';
import { Program } from './program';
import { runIn, trayward, worldOf } from './worlds';

const completed = async (...words: string[]): Promise<string[]> => {
  const { stdout } = await runIn(worldOf({}), [COMPLETE, ...words]);
  return stdout.split('\n').slice(0, -1);
};

describe('completion', () => {
  it('offers every noun where nothing is typed', async () => {
    expect(await completed('')).toEqual(NOUNS.map(({ name }) => name));
  });

  it.each([
    [['st'], ['status', 'stage']],
    [
      ['scale', ''],
      ['zero', 'calibrate', 'check'],
    ],
    [['--units', 'us', 'scale', 'cal'], ['calibrate']],
    [['scale', 'calibrate', '--w'], ['--weight']],
    [['scale', 'calibrate', '--weight', '5kg', '--ce'], ['--cell']],
    [['scale', 'calibrate', '--weight', ''], []],
    [
      ['hardware', 'check', '--rail', ''],
      ['12', '24'],
    ],
    [['completion', 'z'], ['zsh']],
    [['profile', 'load', 'pep'], []],
    [['nonsense', '--j'], ['--json']],
  ])('of %j are %j', async (words, offered) => {
    expect((await completed(...words)).sort()).toEqual([...offered].sort());
  });

  it.each([
    [['alarm', 'mended', 'mat-st'], 'mat-stuck-on'],
    [['alarm', 'seen', 'leak', 'mat-st'], 'mat-stuck-on'],
    [['bench', 'fault', 'mains'], 'mains-cut'],
    [['bench', 'hand', 'lift'], 'lift-tray'],
    [['crop', 'compare', 'basil', 'pep'], 'pepper'],
    [['profile', 'new', 'cuc'], 'cucumber'],
    [['mark', 'tran'], 'transplanted'],
    [['mark', 'mist'], 'misted'],
  ])('of %j knows the name %s', async (words, name) => {
    expect(await completed(...words)).toEqual([name]);
  });

  it('offers no name where a file or another word is typed', async () => {
    expect(await completed('profile', 'new', 'pepper', '')).toEqual([]);
    expect(await completed('bench', 'hand', 'put-weight', '')).toEqual([]);
  });

  it('knows the controllers whose journals are kept', async () => {
    const home = mkdtempSync(join(tmpdir(), 'trayward-kept-'));
    mkdirSync(join(home, 'trayward', 'e6610000edee8cc6'), { recursive: true });
    const { stdout } = await runIn(worldOf({ env: { XDG_DATA_HOME: home } }), [
      ...[COMPLETE, 'explain', '--controller', ''],
    ]);
    rmSync(home, { recursive: true });
    expect(stdout).toBe('e6610000edee8cc6\n');
  });

  it('offers names only of commands that there are', async () => {
    for (const place of Object.keys(ARGUMENT_NAMES)) {
      const words = place.split(' ').slice(0, -1);
      expect((await trayward(...words, '--help')).code).toBe(0);
      expect(
        await completed(...words, ...(place.at(-1) === '1' ? ['basil', ''] : [''])),
      ).not.toEqual([]);
    }
  });

  it('prints what each shell takes, and says where it goes', async () => {
    for (const shell of ['bash', 'zsh', 'fish']) {
      const { code, stdout } = await trayward('completion', shell);
      expect(code).toBe(0);
      expect(stdout).toContain(`trayward ${COMPLETE}`);
    }
    expect((await trayward('completion', '--help')).stdout).toContain('~/.bashrc');
    expect((await trayward('completion', 'csh')).code).toBe(2);
  });
});

describe('completion in a shell', () => {
  let program: Program;
  let folder = '';
  beforeAll(async () => {
    program = await Program.built();
    folder = mkdtempSync(join(tmpdir(), 'trayward-shell-'));
    const command = join(folder, 'trayward');
    writeFileSync(command, `#!/bin/sh\nexec "${process.execPath}" "${program.path}" "$@"\n`);
    chmodSync(command, 0o755);
  });
  afterAll(async () => {
    rmSync(folder, { recursive: true });
    await program.end();
  });

  it.skipIf(spawnSync('bash', ['--version']).status !== 0)('completes in bash', () => {
    const script = `
      eval "$(trayward completion bash)"
      COMP_WORDS=(trayward scale cal) COMP_CWORD=2
      _trayward
      echo "\${COMPREPLY[@]}"
      COMP_WORDS=(trayward profile load "") COMP_CWORD=3
      _trayward
      echo "\${#COMPREPLY[@]}"`;
    const env = { ...process.env, PATH: `${folder}:${process.env.PATH}` };
    expect(execFileSync('bash', ['-c', script], { env, encoding: 'utf8' })).toBe('calibrate\n0\n');
  });
});
