/** No statement of the specification is forgotten: each has a test that is named after it, or a reason. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { HELD, NOT_OURS } from './statements';

/** Testable statements of the specification 3.0.0. */
const STATEMENTS = 299;

const folder = new URL('.', import.meta.url);
const tested = new Set(
  readdirSync(folder)
    .filter((name) => name.endsWith('.test.ts') || name.startsWith('wire-'))
    .flatMap((name) => [
      ...readFileSync(new URL(name, folder), 'utf8').matchAll(/'tck-id-([\w-]+)'/g),
    ])
    .map(([, id]) => id ?? ''),
);

describe('the statements of the specification', () => {
  it('are all here, each once', () => {
    const all = [...HELD, ...NOT_OURS.flatMap(({ ids }) => ids)];
    expect(all).toHaveLength(STATEMENTS);
    expect(new Set(all).size).toBe(STATEMENTS);
  });

  it('that are an edge node’s have a test each, and a test names no other', () => {
    expect(HELD.filter((id) => !tested.has(id))).toEqual([]);
    expect([...tested].filter((id) => !HELD.includes(id))).toEqual([]);
  });

  it('that are not have a reason', () => {
    for (const { why, ids } of NOT_OURS)
      expect([why, ids.length > 0]).toEqual([expect.stringMatching(/^Of .+\.$/), true]);
  });
});
