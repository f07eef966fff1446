/** What is in the package: a program that needs nothing built, and the image for a board. */
import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bin, dependencies, files } from '../../package.json';
import { Program } from '../cli/program';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
let program: Program;
beforeAll(async () => {
  program = await Program.built();
});
afterAll(() => program.end());

/** Names that a part of the program loads from outside, Node's own apart. */
function loadedBy(path: string): string[] {
  const text = readFileSync(path, 'utf8');
  const names = [...text.matchAll(/\b(?:from|import|import\(|require\()\s*"([a-z@][\w@./-]*)"/g)];
  return names
    .map(([, name = '']) => name)
    .filter((name) => !name.startsWith('node:') && !builtinModules.includes(name));
}

describe('the package', () => {
  it('asks whoever installs it for one package, the serial ports', () => {
    const folder = dirname(program.path);
    const parts = readdirSync(join(folder, 'parts')).map((name) => join(folder, 'parts', name));
    const loaded = new Set([program.path, ...parts].flatMap(loadedBy));
    expect([...loaded]).toEqual(['serialport']);
    expect(Object.keys(dependencies)).toEqual(['serialport']);
  });

  it('holds program, parts, image and what a builder reads, and no sources', async () => {
    const words = ['pack', '--dry-run', '--json', '--ignore-scripts'];
    const { stdout } = await promisify(execFile)('npm', words, { cwd: ROOT });
    const packed: { path: string }[] = JSON.parse(stdout)[0].files;
    const folders = new Set(packed.map(({ path }) => path.replace(/\/parts\/.*/, '/parts/')));
    const always = ['LICENSE', 'README.md', 'package.json'];
    // The image is there once it was built.
    expect([...folders, 'trayward.uf2'].sort()).toEqual(
      expect.arrayContaining([...files, ...always].sort()),
    );
    expect([...folders].filter((path) => ![...files, ...always].includes(path))).toEqual([]);
    expect(files).toContain(bin.trayward);
  });
});
