/** What is in the package: a program that needs nothing built, and the image for a board. */
import { readdirSync, readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bin, dependencies, files } from '../../package.json';
import { Program } from '../cli/program';

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

  it('holds program, parts, image and what a builder reads, and no sources', () => {
    const built = readdirSync(dirname(program.path)).filter((name) => !name.endsWith('.cjs'));
    const packed = files.map((file) => file.replace(/\/$/, ''));
    expect(packed).toEqual(expect.arrayContaining(built.map((name) => `dist/${name}`)));
    expect(packed).toContain(bin.trayward);
    expect(packed).toContain('trayward.uf2');
    const others = packed.filter((file) => file !== bin.trayward);
    expect(others.filter((file) => /\.ts$|^(cli|firmware|shared|tests)/.test(file))).toEqual([]);
  });
});
