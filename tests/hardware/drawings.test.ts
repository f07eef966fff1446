import { describe, expect, test } from 'vitest';
import { BOARDS } from '../../hardware/circuit/boards';
import { CIRCUIT, splitPin } from '../../hardware/circuit/circuit';
import type { PinRef } from '../../hardware/circuit/kinds';
import { layoutFaults } from '../../hardware/circuit/strips';
import { drawBoard } from '../../hardware/draw/boards';
import { drawMounting } from '../../hardware/draw/mounting';
import { drawPlacement } from '../../hardware/draw/placement';
import { drawSchematic } from '../../hardware/draw/schematic';
import { SHEETS } from '../../hardware/draw/sheets';
import { drawWires } from '../../hardware/draw/wires';
import { drawWiring } from '../../hardware/draw/wiring';
import { drawDrilling } from '../../hardware/enclosure/drilling';
import { drawDrillingBack } from '../../hardware/enclosure/drilling-back';
import { drawDrillingBottom } from '../../hardware/enclosure/drilling-bottom';

const file = (name: string): string => `../../hardware/drawings/${name}.svg`;

describe.each(SHEETS.map((plan) => [plan.file, plan] as const))('%s', (name, plan) => {
  const { svg, faults } = drawSchematic(CIRCUIT, plan);

  test('shows the netlist, whole and readable', () => {
    expect(faults).toEqual([]);
  });

  test('is committed as the data has it (vitest -u redraws)', async () => {
    await expect(svg).toMatchFileSnapshot(file(name));
  });
});

test('a schematic that is not the netlist any more is found out', () => {
  const onMat = (pins: readonly PinRef[], name: string): readonly PinRef[] => {
    const rest = pins.filter((pin) => pin !== 'R2.1');
    return name === 'MAT' ? [...rest, 'R2.1'] : rest;
  };
  const moved = {
    ...CIRCUIT,
    nets: CIRCUIT.nets.map((net) => ({ ...net, pins: onMat(net.pins, net.name) })),
  };
  const faults = SHEETS.flatMap((plan) => drawSchematic(moved, plan).faults);
  expect(faults).not.toEqual([]);
});

describe.each(BOARDS.map((plan) => [plan.file, plan] as const))('%s', (name, plan) => {
  test('can be soldered as laid out: every pin on a strip of its net, no two in one place', () => {
    expect(layoutFaults(CIRCUIT, plan)).toEqual([]);
  });

  test('a part moved onto another is refused', () => {
    const [first = '', second = ''] = Object.keys(plan.parts);
    const column = plan.parts[first] ?? 0;
    const moved = { ...plan, parts: { ...plan.parts, [second]: column } };
    expect(layoutFaults(CIRCUIT, moved).join()).toContain(`${first} and ${second}`);
  });

  test('is committed as the data has it', async () => {
    await expect(drawBoard(CIRCUIT, plan)).toMatchFileSnapshot(file(name));
  });
});

describe('the wiring picture', () => {
  const svg = drawWiring(CIRCUIT);

  test('draws every wire with its tag, and every part that one ends at', () => {
    for (const { id, colour, mm2, from, to } of CIRCUIT.wires) {
      expect(svg).toContain(`>${id.slice(1)} ${colour} ${mm2}<`);
      for (const pin of [from, to]) {
        expect(svg).toMatch(new RegExp(`>[^<]*\\b${splitPin(pin).ref}\\b[^<]*<`));
      }
    }
  });

  test('says so when a wire has no place in it', () => {
    const wire = { ...CIRCUIT.wires[0], id: 'W99', to: 'LC1.X' } as (typeof CIRCUIT.wires)[number];
    expect(() => drawWiring({ ...CIRCUIT, wires: [wire] })).toThrow('no place for W99');
  });

  test('is committed as the data has it', async () => {
    await expect(svg).toMatchFileSnapshot(file('wiring'));
  });
});

test('the list of wires is committed as the data has it, and has every wire', async () => {
  const svg = drawWires(CIRCUIT);
  for (const { id } of CIRCUIT.wires) expect(svg).toContain(`>${id}<`);
  await expect(svg).toMatchFileSnapshot(file('wires'));
});

test.each([
  ['mounting', drawMounting],
  ['placement', drawPlacement],
  ['drilling', drawDrilling],
  ['drilling-bottom', drawDrillingBottom],
  ['drilling-back', drawDrillingBack],
] as const)('%s is committed as it is drawn', async (name, draw) => {
  await expect(draw()).toMatchFileSnapshot(file(name));
});
