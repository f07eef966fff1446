/** KiCad's own word on the projects: its rules, its netlist, its manufacturing files. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import {
  boardRules,
  electricalRules,
  haveKicad,
  KICAD_MISSING,
  kicad,
  withProject,
} from '../../hardware/pcb/kicad';
import { manufacturingFiles } from '../../hardware/pcb/manufacturing';
import { kicadNets } from '../../hardware/pcb/net-names';
import { CARRIER_TERMINALS } from '../../hardware/pcb/pieces';
import { boardName, projectFiles, schematicFiles } from '../../hardware/pcb/project-files';
import { PROJECTS, type Project } from '../../hardware/pcb/projects';

const have = haveKicad();

if (!have) console.warn(`\n*** ${KICAD_MISSING} ***\n`);

/** Nets of an exported netlist: the netlist's own pins by KiCad's name of the net. */
function netsOf(project: Project, text: string): Map<string, Set<string>> {
  const nets = new Map<string, Set<string>>();
  for (const [, name = '', body = ''] of text.matchAll(
    /<net [^>]*name="([^"]*)"[^>]*>(.*?)<\/net>/gs,
  )) {
    const nodes = [...body.matchAll(/<node ref="([^"]*)" pin="([^"]*)"/g)];
    const pins = nodes.map(([, ref, pad = '']) => {
      const part = project.parts.find((one) => one.ref === ref);
      const pin = [...(part?.pads ?? [])].find(([, pads]) => pads.includes(pad))?.[0];
      return `${part?.part.ref}.${pin}`;
    });
    nets.set(name, new Set(pins));
  }
  return nets;
}

// Not the format that boards are made from: that one leaves out what hangs on a board by a wire.
const read = (project: Project): Map<string, Set<string>> =>
  withProject(schematicFiles(project), (folder) => {
    kicad(
      folder,
      'sch',
      'export',
      'netlist',
      '--format',
      'kicadxml',
      '-o',
      'out.xml',
      `${project.name}.kicad_sch`,
    );
    return netsOf(project, readFileSync(join(folder, 'out.xml'), 'utf8'));
  });

const done = new Map<Project, Map<string, Set<string>>>();
const exported = (project: Project): Map<string, Set<string>> => {
  const nets = done.get(project) ?? read(project);
  done.set(project, nets);
  return nets;
};

describe.skipIf(!have).each(PROJECTS.map((project) => [project.name, project] as const))(
  '%s, read by KiCad',
  (name, project) => {
    test('has a schematic without a breach of its electrical rules', () => {
      expect(
        withProject(schematicFiles(project), (folder) => electricalRules(folder, name)),
      ).toEqual([]);
    });

    test('has a board without a breach of its rules, an open connection or a difference to the schematic', () => {
      expect(withProject(projectFiles(project), (folder) => boardRules(folder, name))).toEqual([]);
    });

    test('is ordered with the manufacturing files that are committed (vitest -u writes them)', async () => {
      const files = withProject(projectFiles(project), (folder) =>
        manufacturingFiles(folder, name),
      );
      expect(files.size).toBeGreaterThan(10);
      for (const [file, text] of files)
        await expect(text).toMatchFileSnapshot(`../../hardware/kicad/${name}/fab/${file}`);
    });

    test('has a schematic whose netlist is the circuit of this board', () => {
      const names = kicadNets(project);
      const nets = new Map(
        project.circuit.nets.map((net) => [names.get(net.name), new Set<string>(net.pins)]),
      );
      expect(exported(project)).toEqual(nets);
    });
  },
);

test.skipIf(!have)('a resistor that a wire misses is found out by KiCad', () => {
  const [project] = PROJECTS;
  if (project === undefined) throw new Error('there is no project');
  const files = new Map(schematicFiles(project));
  const sheet = files.get('mat-and-pump.kicad_sch') ?? '';
  // The first resistor of the sheet, moved a grid step off its wires.
  const moved = sheet.replace(
    /(\(lib_id "trayward:R"\)\s+\(at [\d.]+) ([\d.]+) 0\)/,
    (_, start: string, y: string) => `${start} ${Number(y) + 1.27} 0)`,
  );
  expect(moved).not.toBe(sheet);
  files.set('mat-and-pump.kicad_sch', moved);
  withProject(files, (folder) => {
    expect(electricalRules(folder, project.name).join('\n')).toContain('pin_not_connected');
  });
});

test.skipIf(!have)(
  'the netlists of both boards, joined by their wires, are the netlist of the circuit',
  () => {
    const whole = new Map<string, Set<string>>();
    for (const project of PROJECTS) {
      const back = new Map([...kicadNets(project)].map(([own, theirs]) => [theirs, own]));
      for (const [theirs, pins] of exported(project)) {
        const own = back.get(theirs) ?? theirs;
        const rest = [...pins].filter((pin) => !pin.startsWith(`${CARRIER_TERMINALS.ref}.`));
        whole.set(own, new Set([...(whole.get(own) ?? []), ...rest]));
      }
    }
    expect(whole).toEqual(
      new Map(CIRCUIT.nets.map((net) => [net.name, new Set<string>(net.pins)])),
    );
  },
);

test.skipIf(!have)(
  'a track left out of a board, and one that strays, are found out by KiCad',
  () => {
    const [project] = PROJECTS;
    if (project === undefined) throw new Error('there is no project');
    const files = new Map(projectFiles(project));
    const text = files.get(boardName(project)) ?? '';
    const segments = text.match(
      /^ {2}\(segment\n(?: {4}.*\n)*? {4}\(layer "B\.Cu"\)\n(?: {4}.*\n)*? {2}\)$/gm,
    );
    // The longest: a short one may lie between legs that wider copper joins.
    const lengthOf = (one: string): number => {
      const [fromX = 0, fromY = 0, toX = 0, toY = 0] = [
        ...one.matchAll(/\((?:start|end) ([\d.]+) ([\d.]+)\)/g),
      ].flatMap(([, x, y]) => [Number(x), Number(y)]);
      return Math.hypot(toX - fromX, toY - fromY);
    };
    const [segment = ''] = (segments ?? []).sort((a, b) => lengthOf(b) - lengthOf(a));
    expect(segment).not.toBe('');
    const told = (changed: string): string =>
      withProject(
        new Map([...files, [boardName(project), text.replace(segment, changed)]]),
        (folder) => boardRules(folder, project.name).join('\n'),
      );
    expect(told('')).toContain('unconnected_items');
    const strayed = segment.replace(
      /\(end ([\d.]+) ([\d.]+)\)/,
      (_, x: string, y: string) => `(end ${Number(x) + 4} ${y})`,
    );
    expect(told(strayed)).toMatch(/clearance|tracks_crossing|shorting_items/);
  },
);
