/** What a grower gives the built program as a file or a folder, and what it says of it. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ENTRY_BYTES } from '../../shared/journal/layout';
import { json, type ProcessBench, Program, unwrapped } from './program';

let program: Program;
let bench: ProcessBench;

beforeAll(async () => {
  program = await Program.built();
  bench = await program.startBench();
  await bench.wait(3_600);
});
afterAll(async () => {
  await program.end();
});

const trayward = (...words: string[]) => program.run(['--port', bench.at.link, ...words]);

/** A machine that answers in a second by itself may take several when it is busy; endless is far more. */
const ENDLESS_MS = 20_000;

describe.skipIf(process.platform === 'win32')('a file without end', () => {
  const pipe = (): string => join(program.home, 'pipe');
  beforeAll(() => {
    execFileSync('mkfifo', [pipe()]);
  });

  it.each([
    ['profile', 'check'],
    ['profile', 'load'],
    ['profile', 'compare'],
    ['bench', 'start', '--listen', '0', '--image'],
  ])(
    'is refused by %s %s, a device as well as a pipe',
    async (...words) => {
      for (const file of ['/dev/zero', pipe()]) {
        const { code, stderr } = await trayward(...words, file);
        expect(code).toBe(2);
        expect(unwrapped(stderr)).toContain(`${file} is a device or a pipe`);
      }
    },
    ENDLESS_MS,
  );

  it('or far too long is no profile', async () => {
    const long = join(program.home, 'long.yaml');
    writeFileSync(long, Buffer.alloc(1_000_000, ' '));
    const { code, stderr } = await trayward('profile', 'check', long);
    expect(code).toBe(2);
    expect(unwrapped(stderr)).toContain('too large for a profile');
  });
});

describe('a folder for the journals', () => {
  it.skipIf(process.platform !== 'linux')(
    'where the system takes none is refused at once',
    async () => {
      const { code, stderr } = await trayward('journal', 'pull', '--store', '/proc/journals');
      expect(code).not.toBe(0);
      expect(unwrapped(stderr)).toContain('/proc/journals: No folder can be made there.');
    },
    ENDLESS_MS,
  );

  it('is never the one a program happens to be started in, though HOME is empty', async () => {
    const { stderr } = await program.run(['journal', 'show'], { env: { HOME: '' } });
    expect(unwrapped(stderr)).toMatch(/is kept in \//);
    const relative = { XDG_DATA_HOME: 'here' };
    const other = await program.run(['journal', 'show'], { env: relative });
    expect(unwrapped(other.stderr)).toMatch(/is kept in \//);
  });
});

describe('an entry that the disk has spoilt', () => {
  const here = (...words: string[]) => program.runHere(['--port', bench.at.link, ...words]);

  it('is told whenever the journal is shown or exported', async () => {
    const store = join(program.home, 'spoilt');
    mkdirSync(store);
    await here('journal', 'pull', '--store', store);
    const sound = json(await here('--json', 'journal', 'show', '--store', store)).result;
    expect(sound.damaged).toBe(0);
    const file = join(store, readdirSync(store)[0] ?? '', 'life-0001.entries');
    const bytes = readFileSync(file);
    bytes[ENTRY_BYTES + 14] = (bytes[ENTRY_BYTES + 14] ?? 0) ^ 0xff;
    writeFileSync(file, bytes);
    const shown = await here('journal', 'show', '--store', store);
    expect(shown.code).toBe(0);
    expect(unwrapped(shown.stderr)).toContain('1 entry in');
    expect(unwrapped(shown.stderr)).toContain('cannot be read any more');
    const exported = await here('--json', 'journal', 'export', '--jsonl', '--store', store);
    expect(exported.stderr).toContain('cannot be read');
    expect(json(exported).result).toMatchObject({ damaged: 1, count: sound.entries.length - 1 });
  });
});
