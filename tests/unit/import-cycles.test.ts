/** No two modules of the project import each other: what one makes at its top, the other may need at its own. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const ROOMS = ['shared', 'firmware', 'cli', 'hardware', 'tests'];
/** An import or re-export of values from a module of the project; those of types alone are gone when it runs. */
const VALUES = /^(?:import|export)\s+(?!type\b)[^;'"]*?from\s+'(\.[^']*)'/gm;

const sources = ROOMS.flatMap((room) =>
  readdirSync(join(ROOT, room), { recursive: true, encoding: 'utf8' }).map((path) =>
    join(room, path),
  ),
).filter((path) => path.endsWith('.ts'));
const known = new Set(sources);

function importsOf(path: string): string[] {
  const text = readFileSync(join(ROOT, path), 'utf8');
  return [...text.matchAll(VALUES)].flatMap(([, named = '']) => {
    const place = relative(ROOT, normalize(join(ROOT, dirname(path), named.replace(/\.js$/, ''))));
    return [`${place}.ts`, join(place, 'index.ts')].filter((candidate) => known.has(candidate));
  });
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
    const imports = new Map(sources.map((path) => [path, importsOf(path)]));
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
