import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { lookTable, senseVoltTable } from '../../hardware/export/sense-tables';
import {
  cellTable,
  enclosureTable,
  fittingsTable,
  matTable,
  probeVoltTable,
  rulesTable,
  spreadTable,
  stuckTable,
} from '../../hardware/export/tables';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';

const path = (name: string): URL => new URL(`../../hardware/${name}`, import.meta.url);
const read = (name: string): string => readFileSync(path(name), 'utf8');

const TABLES: Readonly<Record<string, string>> = {
  rules: rulesTable(),
  enclosure: enclosureTable(),
  cells: cellTable(CIRCUIT),
  spread: spreadTable(),
  fittings: fittingsTable(),
  mat: matTable(),
  stuck: stuckTable(),
  probe: probeVoltTable(CIRCUIT),
  looks: lookTable(CIRCUIT),
  sense: senseVoltTable(),
};

/** A document with its tables made anew from the data. */
const filled = (text: string): string =>
  text.replace(
    /(<!-- table: (\w+) -->\n)[\s\S]*?(<!-- end -->)/g,
    (whole, begin: string, id: string, end: string) => {
      const table = TABLES[id];
      return table === undefined ? whole : `${begin}\n${table}\n\n${end}`;
    },
  );

describe('the documents', () => {
  test.each(['README.md', 'BUILD.md'])('%s has its tables as the data say', async (name) => {
    const text = read(name);
    for (const [, id = ''] of text.matchAll(/<!-- table: (\w+) -->/g)) {
      expect(Object.keys(TABLES)).toContain(id);
    }
    await expect(filled(text)).toMatchFileSnapshot(`../../hardware/${name}`);
  });

  test('name only files that exist', () => {
    for (const name of ['README.md', 'BUILD.md', 'CAUTIONS.md']) {
      for (const [, link = ''] of read(name).matchAll(/\]\(([^)#]+)\)/g)) {
        expect(() => readFileSync(path(link)), link).not.toThrow(/ENOENT/);
      }
    }
  });

  test('name only alarms that the guard has', () => {
    const words = [...read('CAUTIONS.md').matchAll(/`([a-z]+(?:-[a-z]+)+)`/g)].map(
      ([, word]) => word,
    );
    expect(words.length).toBeGreaterThan(8);
    for (const word of words) expect(ALARM_NAMES).toContain(word);
  });

  test('have a step for every wire', () => {
    const named = new Set<number>();
    for (const [, first = '', last] of read('BUILD.md').matchAll(
      /\bW(\d+)(?:\s+to\s+W(\d+))?\b/g,
    )) {
      for (let n = Number(first); n <= Number(last ?? first); n++) named.add(n);
    }
    expect(CIRCUIT.wires.filter(({ id }) => !named.has(Number(id.slice(1))))).toEqual([]);
  });

  test('name only wires and test points of the circuit', () => {
    const text = read('BUILD.md');
    const wires = CIRCUIT.wires.map(({ id }) => id);
    const refs = CIRCUIT.parts.map(({ ref }) => ref);
    for (const [word] of text.matchAll(/\bW\d+\b/g)) expect(wires).toContain(word);
    for (const [word] of text.matchAll(/\b(?:TP|TH|[RCDQFJ])\d+\b/g)) {
      if (word !== 'C3' || !text.includes('class C3')) expect(refs).toContain(word);
    }
  });
});
