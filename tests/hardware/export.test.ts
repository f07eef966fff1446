import { describe, expect, test } from 'vitest';
import { TRAYS } from '../../hardware/budget/trays';
import { CIRCUIT, splitPin } from '../../hardware/circuit/circuit';
import { coresOf, isOutside } from '../../hardware/circuit/leads';
import {
  type Expression,
  edif,
  edifName,
  findAll,
  parseExpression,
} from '../../hardware/export/edif';
import { purchaseList } from '../../hardware/export/purchases';

/** The name an EDIF name form stands for: itself, or the string of its `rename`. */
const nameOf = (form: Expression | undefined): string => {
  if (typeof form === 'string') return form;
  const text = form?.[2];
  return typeof text === 'string' ? text.replaceAll('"', '') : '';
};

const idOf = (form: Expression | undefined): string => {
  const word = typeof form === 'string' ? form : form?.[1];
  return typeof word === 'string' ? word : '';
};

describe('the netlist in EDIF 2 0 0', () => {
  const file = edif(CIRCUIT);
  const tree = parseExpression(file);

  test('is committed as the data has it', async () => {
    await expect(file).toMatchFileSnapshot('../../hardware/trayward.edf');
  });

  test('is ASCII, with valid and distinct identifiers', () => {
    expect(file).toMatch(/^[\x20-\x7e\n]*$/);
    for (const keyword of ['instance', 'net', 'cell']) {
      const ids = findAll(tree, keyword).map((form) => idOf(form[1]));
      expect(new Set(ids).size).toBe(ids.length);
      for (const id of ids) expect(id).toMatch(/^(&\w|[A-Za-z])\w*$/);
    }
  });

  test('read back, holds every part and joins exactly the pins of every net', () => {
    const refs = findAll(tree, 'instance').map((form) => nameOf(form[1]));
    expect(refs).toEqual(CIRCUIT.parts.map((part) => part.ref));
    const nets = findAll(tree, 'net').map((form) => ({
      name: nameOf(form[1]),
      pins: findAll(form, 'portRef').map(
        (port) => `${idOf(findAll(port, 'instanceRef')[0]?.[1])}.${idOf(port[1])}`,
      ),
    }));
    expect(nets).toEqual(
      CIRCUIT.nets.map((net) => ({
        name: net.name,
        pins: net.pins.map((pin) => {
          const dot = pin.indexOf('.');
          return `${pin.slice(0, dot)}.${edifName(pin.slice(dot + 1))}`;
        }),
      })),
    );
  });

  test('refers to no cell, port or part that it does not define', () => {
    const cells = new Map(
      findAll(tree, 'cell').map((form) => [
        idOf(form[1]),
        findAll(form, 'port').map((port) => idOf(port[1])),
      ]),
    );
    const cellOf = new Map(
      findAll(tree, 'instance').map((form) => [
        idOf(form[1]),
        idOf(findAll(form, 'cellRef')[0]?.[1]),
      ]),
    );
    for (const port of findAll(tree, 'portRef')) {
      const cell = cellOf.get(idOf(findAll(port, 'instanceRef')[0]?.[1])) ?? '';
      expect(cells.get(cell)).toContain(idOf(port[1]));
    }
  });
});

describe('the purchase list', () => {
  const list = purchaseList(CIRCUIT);

  test('is committed as the data has it', async () => {
    await expect(list).toMatchFileSnapshot('../../hardware/bom.csv');
  });

  test('names every part that is bought, and no shop', () => {
    for (const part of CIRCUIT.parts.filter(({ place }) => place !== 'controller')) {
      expect(list).toMatch(new RegExp(`[, ]${part.ref}[, ]`));
    }
    expect(list).not.toMatch(/https?:|www\./);
  });

  test('buys a sheathed cable for what leaves by a plug, and no single wire that leaves', () => {
    const rows = list.split('\r\n').map(cells);
    const single = rows.flatMap(([, refs = '', , what = '']) =>
      what.includes('Stranded wire') ? refs.split(' ') : [],
    );
    for (const { id, from, to } of CIRCUIT.wires) {
      const leaves = [from, to].some((pin) => isOutside(CIRCUIT, splitPin(pin).ref));
      expect(single.includes(id), id).toBe(!leaves);
    }
    const cable = rows.filter(([, , , what = '']) => what.includes('Cable, round, finely'));
    expect(cable.map(([metres]) => metres)).toEqual(['4.0 m']);
    for (const plug of ['J2', 'J3']) {
      for (const { id } of coresOf(CIRCUIT, plug)) expect(cable[0]?.[1]?.split(' ')).toContain(id);
    }
  });

  test('has each fitting of the manifold, for every size of tray that a budget knows', () => {
    const manifold = list.split('\r\n').find((row) => row.includes('Manifold: '));
    for (const { lengthMm, widthMm } of TRAYS) {
      expect(manifold).toContain(`for a tray of ${lengthMm} x ${widthMm} mm`);
    }
    for (const what of ['Tee, push-in', 'Funnel', 'Cap for tube', 'Saddle clip', 'Hose clip']) {
      expect(list).toContain(what);
    }
  });

  const cells = (row: string): string[] =>
    [...row.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)]
      .slice(0, COLUMNS)
      .map(([, cell = '']) => cell);
  const COLUMNS = 8;

  test('has the same columns in every row, and prices marked as estimates with their month', () => {
    const [head = '', ...rows] = list.trimEnd().split('\r\n');
    expect(cells(head).at(-1)).toMatch(/estimate \d{4}-\d\d"?$/);
    for (const row of rows) {
      expect(cells(row)).toHaveLength(COLUMNS);
      expect(cells(row).at(-1)).toMatch(/^\d+\.\d\d$/);
    }
  });
});
