/**
 * No two modules of the project import each other: what one makes at its top, the other may need at its own. Nor do
 * the folders named here, so that each can be read without the ones above it.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const ROOMS = ['shared', 'firmware', 'cli', 'hardware', 'tests'];
/** An import or re-export of values from a module of the project; those of types alone are gone when it runs. */
const VALUES = /^(?:import|export)\s+(?!type\b)[^;'"]*?from\s+'(\.[^']*)'/gm;
/** Those of types too, and imports on the way: a reader has to follow them all. */
const ANY = /^(?:import|export)\s+[^;'"]*?from\s+'(\.[^']*)'|\bimport\('(\.[^']*)'\)/gm;

const sources = ROOMS.flatMap((room) =>
  readdirSync(join(ROOT, room), { recursive: true, encoding: 'utf8' }).map((path) =>
    join(room, path),
  ),
).filter((path) => path.endsWith('.ts'));
const known = new Set(sources);

function importsOf(path: string, pattern: RegExp): string[] {
  const text = readFileSync(join(ROOT, path), 'utf8');
  return [...text.matchAll(pattern)].flatMap(([, atTop, onTheWay]) => {
    const named = atTop ?? onTheWay ?? '';
    const place = relative(ROOT, normalize(join(ROOT, dirname(path), named.replace(/\.js$/, ''))));
    return [`${place}.ts`, join(place, 'index.ts')].filter((candidate) => known.has(candidate));
  });
}

/** A file's folder below its room; one that lies in the room itself, where it serves all folders, is named itself. */
const folderOf = (path: string): string => path.split(sep).slice(0, 2).join('/');
/** The folder it lies in, however deep; again a file that lies in its room itself is one of its own. */
const innermostOf = (path: string): string =>
  path.split(sep).length > 2 ? dirname(path) : folderOf(path);

/** Which folders each folder imports from, by all imports of its files; `wanted` only. */
function folderImports(
  wanted: (folder: string) => boolean,
  nameOf: (path: string) => string = folderOf,
): ReadonlyMap<string, string[]> {
  const imports = new Map<string, Set<string>>();
  for (const path of sources) {
    const from = nameOf(path);
    if (!wanted(from)) continue;
    const named = imports.get(from) ?? new Set<string>();
    for (const to of importsOf(path, ANY).map(nameOf)) if (wanted(to) && to !== from) named.add(to);
    imports.set(from, named);
  }
  return new Map([...imports].map(([from, named]) => [from, [...named]]));
}

/** The first circle found, as the modules on the way round it; null when there is none. */
function circle(imports: ReadonlyMap<string, readonly string[]>): string[] | null {
  const done = new Set<string>();
  const way: string[] = [];
  const visit = (path: string): string[] | null => {
    if (way.includes(path)) return [...way.slice(way.indexOf(path)), path];
    if (done.has(path)) return null;
    way.push(path);
    for (const next of imports.get(path) ?? []) {
      const found = visit(next);
      if (found !== null) return found;
    }
    way.pop();
    done.add(path);
    return null;
  };
  for (const path of imports.keys()) {
    const found = visit(path);
    if (found !== null) return found;
  }
  return null;
}

describe('the modules of the project', () => {
  it('import each other in one direction only', () => {
    const imports = new Map(sources.map((path) => [path, importsOf(path, VALUES)]));
    const edges = [...imports.values()].reduce((sum, { length }) => sum + length, 0);
    expect(edges).toBeGreaterThan(1_000);
    expect(circle(imports)).toBe(null);
  });

  it('would be found going round', () => {
    const round = new Map([
      ['a', ['b']],
      ['b', ['c']],
      ['c', ['b']],
    ]);
    expect(circle(round)).toEqual(['b', 'c', 'b']);
  });
});

describe('the folders of the project', () => {
  it('the image is put together with a part of the simulated chip, and the bench knows no image', () => {
    const pair = folderImports((one) => one === 'firmware/image' || one === 'firmware/bench');
    expect([...pair]).toEqual([
      ['firmware/bench', []],
      ['firmware/image', ['firmware/bench']],
    ]);
  });

  it('the firmware has no two that import each other, nor a longer way round: a watch knows no tray, a policy no shell', () => {
    const imports = folderImports((one) => one.startsWith('firmware/'));
    expect(imports.get('firmware/tray')).toContain('firmware/guard');
    expect(circle(imports)).toBe(null);
  });

  it('the laptop tool has no two that import each other, nor a longer way round, with the files between them', () => {
    const imports = folderImports((one) => one.startsWith('cli/'));
    expect(imports.get('cli/commands')).toContain('cli/link');
    expect(imports.get('cli/commands')).toContain('cli/failure.ts');
    expect(circle(imports)).toBe(null);
  });

  it('what both sides share has none either, down to the innermost folder', () => {
    const imports = folderImports((one) => one.startsWith('shared/'), innermostOf);
    expect(imports.get('shared/journal')).toContain('shared/board');
    expect(imports.has('shared/profile/host')).toBe(true);
    expect(circle(imports)).toBe(null);
  });

  it('nor has the hardware: a budget knows no rule, a sheet no board, a board no enclosure', () => {
    const imports = folderImports((one) => one.startsWith('hardware/'));
    expect(imports.get('hardware/enclosure')).toContain('hardware/pcb');
    expect(circle(imports)).toBe(null);
  });

  it('and what is shared imports from no other room', () => {
    const imports = folderImports(() => true);
    const from = [...imports].filter(([one]) => one.startsWith('shared/'));
    expect(from.flatMap(([, to]) => to).filter((one) => !one.startsWith('shared/'))).toEqual([]);
  });
});
