/** Nothing prints more digits than it knows: every planning command, for people and for programs. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { asKnown } from '../../cli/digits/known';
import { holds } from '../properties';
import { KEEPING, NOW_MS, TOLD, wordsOf } from './planning-commands';
import { runIn, worldOf } from './worlds';

let store = '';
const run = (...words: string[]) =>
  runIn(worldOf({ now: () => NOW_MS, env: { TRAYWARD_STORE: store } }), words);

beforeAll(async () => {
  store = mkdtempSync(join(tmpdir(), 'trayward-digits-'));
  for (const line of KEEPING) expect((await run(...wordsOf(line))).code).toBe(0);
});
afterAll(() => rmSync(store, { recursive: true }));

/** Four: a standard in its bottle is sold so, and meters show no more. */
const MOST_DIGITS = 4;

const digitsOf = (text: string): number =>
  text.replace(/^-?[0.]*|[.]/g, '').replace(/0+$/, '').length;

/** What is counted, or a moment: known to the last digit. */
const COUNTED = /^(unixMs|sownMs|seeds|plants|of|standing|revision)$/;

/** Names and values of all numbers in a result that have too many digits. */
function overprecise(value: unknown, name = ''): string[] {
  if (typeof value === 'number') {
    const isOver = !COUNTED.test(name) && digitsOf(String(value)) > MOST_DIGITS;
    return isOver ? [`${name} ${value}`] : [];
  }
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, one]) =>
    overprecise(one, Array.isArray(value) ? name : key),
  );
}

/** Numbers of a text; days, ids and what stands in a source's citation are none. */
const numbersIn = (text: string): readonly string[] =>
  text
    .replace(/\d{4}-\d\d-\d\d|[0-9a-f]{16}|\d+ CFR \S+|\/\S+/g, '')
    .match(/(?<![\w:.])\d+(?:\.\d+)?/g) ?? [];

const LINES = Object.values(TOLD).flatMap(({ lines }) => lines);

describe.each(LINES)('trayward %s', (line) => {
  it('gives programs the digits that are known', async () => {
    const { code, stdout } = await run('--json', ...wordsOf(line));
    expect(code, stdout).toBe(0);
    expect(overprecise(JSON.parse(stdout).result)).toEqual([]);
  });

  it.each(['metric', 'us'])('gives people no more, in %s units', async (units) => {
    const { code, stdout } = await run('--units', units, ...wordsOf(line));
    expect(code).toBe(0);
    expect(numbersIn(stdout).filter((text) => digitsOf(text) > MOST_DIGITS)).toEqual([]);
  });
});

describe('what is known of a figure', () => {
  it.each([
    [{ keepMl: 4064.256 }, { keepMl: 4060 }],
    [{ rootZoneC: { low: 15.555, high: 21.1111 } }, { rootZoneC: { low: 15.6, high: 21.1 } }],
    [
      { bottleMsCm: 1.413, ecMsCm: 1.4319 },
      { bottleMsCm: 1.413, ecMsCm: 1.43 },
    ],
    [
      { seeds: 12_345, unixMs: 1_764_417_600_123 },
      { seeds: 12_345, unixMs: 1_764_417_600_123 },
    ],
    [
      { chance: 0.0123456, of: [1, 'two', null] },
      { chance: 0.0123, of: [1, 'two', null] },
    ],
  ])('%j is %j', (reckoned, known) => {
    expect(asKnown(reckoned)).toEqual(known);
  });

  it('is within half a per cent, and known for good: a second look changes nothing', () => {
    holds(
      fc.property(fc.double({ min: 1e-3, max: 1e6, noNaN: true }), (value) => {
        const takenMl = Number(Object(asKnown({ takenMl: value })).takenMl);
        expect(Math.abs(takenMl / value - 1)).toBeLessThanOrEqual(0.005);
        expect(asKnown({ takenMl })).toEqual({ takenMl });
      }),
    );
  });
});
