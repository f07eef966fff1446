/** The package as it is sent: packed, unpacked where nothing else is, and started there. */
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { bin, dependencies, files, version } from '../../package.json';
import { toUf2, UF2_BLOCK_BYTES } from '../../shared/board/uf2';
import { inForm, Program, unwrapped } from './program';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const IMAGE = 'trayward.uf2';

interface Packed {
  readonly filename: string;
  readonly files: readonly { readonly path: string; readonly size: number }[];
}

const folder = mkdtempSync(join(tmpdir(), 'trayward-packed-'));
const there = join(folder, 'package');
let program: Program;
let packed: Packed;

/** What `npm pack` takes, in a folder of its own: the program of this run, and an image that needs no compiler. */
function stage(path: string): void {
  const built = dirname(program.path);
  for (const file of files) {
    const to = join(path, file);
    mkdirSync(dirname(to), { recursive: true });
    if (file === IMAGE) writeFileSync(to, toUf2(withBootStageCrc(new Uint8Array(1000).fill(7))));
    else if (file.startsWith('dist/')) {
      cpSync(join(built, file.slice('dist/'.length)), to, { recursive: true });
    } else cpSync(join(ROOT, file), to);
  }
  for (const file of ['package.json', 'README.md', 'LICENSE']) {
    cpSync(join(ROOT, file), join(path, file));
  }
}

/** A build of the program and npm, on a machine that does other things as well; 5 s on a quiet one. */
const PACK_LIMIT_MS = 180_000;

/** No network; the scripts of the package would build, which `npm run image` and each other test do. */
const NPM_PACK = ['pack', '--offline', '--no-update-notifier', '--ignore-scripts', '--json'];

beforeAll(async () => {
  program = await Program.built();
  const staged = join(folder, 'staged');
  stage(staged);
  const said = execFileSync('npm', [...NPM_PACK, '--pack-destination', folder], {
    cwd: staged,
    encoding: 'utf8',
    env: { PATH: process.env.PATH, HOME: folder, npm_config_cache: join(folder, 'cache') },
  });
  [packed] = JSON.parse(said);
  execFileSync('tar', ['-xzf', join(folder, packed.filename), '-C', folder]);
  // As an install leaves it: the one package that it asks for, and the program on the path beside Node.
  mkdirSync(join(there, 'node_modules'));
  for (const name of Object.keys(dependencies)) {
    symlinkSync(join(ROOT, 'node_modules', name), join(there, 'node_modules', name));
  }
  mkdirSync(join(folder, 'bin'));
  symlinkSync(process.execPath, join(folder, 'bin', 'node'));
  symlinkSync(join(there, bin.trayward), join(folder, 'bin', 'trayward'));
}, PACK_LIMIT_MS);

afterAll(async () => {
  await program.end();
  rmSync(folder, { recursive: true, force: true });
});

/** What the install put on the path, and a place where no compiler is, nor a source. */
const trayward = join(folder, 'bin', 'trayward');
const surroundings = {
  cwd: folder,
  env: { PATH: join(folder, 'bin'), HOME: folder, TMPDIR: folder, TZ: 'UTC' },
};

/** Runs it there to its end, and returns what it said. */
function run(...words: readonly string[]): string {
  const stdout = execFileSync(trayward, words, { ...surroundings, encoding: 'utf8' });
  return inForm(words, { code: 0, stdout, stderr: '' }).stdout;
}

describe('the packed program', () => {
  it('holds each file that it names, as large as the packer lists it, and no sources', () => {
    for (const file of files) {
      const found = packed.files.filter(({ path }) => path === file || path.startsWith(file));
      expect(found, file).not.toEqual([]);
      for (const { path, size } of found) expect(statSync(join(there, path)).size).toBe(size);
    }
    expect(
      packed.files.map(({ path }) => path).filter((path) => /\.(ts|c|h|S)$/.test(path)),
    ).toEqual([]);
    expect(readdirSync(join(there, 'cli'))).toEqual(['trayward.mjs']);
  });

  it('says how it is built where it is not built yet, as in a fresh clone', () => {
    const clone = join(folder, 'clone');
    mkdirSync(join(clone, dirname(bin.trayward)), { recursive: true });
    cpSync(join(ROOT, bin.trayward), join(clone, bin.trayward));
    const said = spawnSync(join(clone, bin.trayward), ['status'], surroundings);
    expect(said.status).toBe(1);
    expect(said.stderr.toString()).toBe(
      'Not done: trayward is not built yet.\n  In the folder that it was cloned into: npm run build\n',
    );
  });

  it('says its version, and how it is used', () => {
    expect(run('--version').trim()).toBe(version);
    expect(unwrapped(run('--help'))).toContain('Usage: trayward');
  });

  it('makes a profile and checks it', () => {
    run('profile', 'new', 'pepper');
    expect(existsSync(join(folder, 'pepper.yaml'))).toBe(true);
    expect(JSON.parse(run('--json', 'profile', 'check', 'pepper.yaml'))).toMatchObject({
      ok: true,
    });
  });

  it('asks for one package, and finds it when it looks for a serial port', () => {
    const asked = JSON.parse(readFileSync(join(there, 'package.json'), 'utf8')).dependencies;
    expect(Object.keys(asked)).toEqual(['serialport']);
    const text = `import('serialport').then(({ SerialPort }) => console.log(typeof SerialPort.list))`;
    const said = execFileSync(join(folder, 'bin', 'node'), ['-e', text], { cwd: there });
    expect(said.toString().trim()).toBe('function');
  });

  it('puts the image that lies in it on to a board', async () => {
    const drive = join(folder, 'drive');
    mkdirSync(drive);
    writeFileSync(join(drive, 'INFO_UF2.TXT'), 'Board-ID: RPI-RP2\n');
    const { size } = packed.files.find(({ path }) => path === IMAGE) ?? { size: 0 };
    const child = spawn(trayward, ['board', 'image', '--to', drive], surroundings);
    // Then it waits for a board, of which there is none.
    await new Promise<void>((resolve, reject) => {
      let heard = '';
      child.stderr.on('data', (data: Buffer) => {
        heard += data;
        if (heard.includes('Waiting for the board')) resolve();
      });
      child.once('exit', () => reject(new Error(heard)));
    });
    child.removeAllListeners('exit').kill();
    // Ahead of it goes the block that has the ROM begin anew.
    expect(statSync(join(drive, IMAGE)).size).toBe(UF2_BLOCK_BYTES + size);
  });
});
