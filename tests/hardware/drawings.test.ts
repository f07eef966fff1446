import { describe, expect, test } from 'vitest';
import { BOARDS, layoutFaults } from '../../hardware/circuit/boards';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import type { PinRef } from '../../hardware/circuit/kinds';
import { drawBoard } from '../../hardware/draw/boards';
import { drawMounting } from '../../hardware/draw/mounting';
import { drawPlacement } from '../../hardware/draw/placement';
import { drawSchematic } from '../../hardware/draw/schematic';
import { SHEETS } from '../../hardware/draw/sheets';
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

test('the wiring picture is committed as the data has it, and lists every wire', async () => {
  const svg = drawWiring(CIRCUIT);
  for (const wire of CIRCUIT.wires) expect(svg).toContain(`>${wire.id}<`);
  await expect(svg).toMatchFileSnapshot(file('wiring'));
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
