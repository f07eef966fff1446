/** The KiCad projects as files: what is committed is what the data say. Needs no KiCad. */
import { describe, expect, test } from 'vitest';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import type { PinRef } from '../../hardware/circuit/kinds';
import { WIRES } from '../../hardware/circuit/wires';
import { CARRIER_TERMINALS } from '../../hardware/pcb/pieces';
import { projectFiles } from '../../hardware/pcb/project-files';
import { CARRIER, PROJECTS, padsOf } from '../../hardware/pcb/projects';

describe.each(PROJECTS.map((project) => [project.name, project] as const))(
  '%s',
  (name, project) => {
    const files = projectFiles(project);

    test.each([...files.keys()])(
      '%s is committed as the data has it (vitest -u writes)',
      async (file) => {
        await expect(files.get(file)).toMatchFileSnapshot(`../../hardware/kicad/${name}/${file}`);
      },
    );

    test('is written the same twice', () => {
      expect([...projectFiles(project)]).toEqual([...files]);
    });

    test('gives no thing the identifier of another', () => {
      const ids = [...files]
        .filter(([file]) => file.endsWith('.kicad_sch'))
        .flatMap(([, text]) => text.match(/\(uuid "[^"]+"\)/g) ?? []);
      expect(ids.filter((id, index) => ids.indexOf(id) !== index)).toEqual([]);
    });
  },
);

test('between them the projects have every pin of the netlist, each once', () => {
  const pins = CIRCUIT.nets.flatMap((net) => net.pins);
  const homes = (pin: PinRef) => PROJECTS.flatMap((project) => padsOf(project, pin) ?? []);
  expect(pins.filter((pin) => homes(pin).length !== 1)).toEqual([]);
});

test('each wire from the controller board to another board has a terminal on the carrier, and nothing else has', () => {
  const own = new Set(CARRIER.circuit.parts.map(({ ref }) => ref));
  const away = WIRES.flatMap(({ from, to }) => {
    const ends = [from, to].map((pin) => ({ pin, ref: pin.slice(0, pin.indexOf('.')) }));
    const here = ends.find(({ ref }) => ref === 'A1');
    const there = ends.find(({ ref }) => ref !== 'A1');
    return here !== undefined && there !== undefined && !own.has(there.ref) ? [here.pin] : [];
  });
  expect(new Set<string>(Object.values(CARRIER_TERMINALS.poles))).toEqual(new Set(away));
});
