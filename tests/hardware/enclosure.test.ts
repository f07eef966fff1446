/** The holes of the enclosure: that they may be drilled as listed, and that a mistake among them is found. */
import { describe, expect, test } from 'vitest';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import type { Circuit } from '../../hardware/circuit/kinds';
import type { Lead } from '../../hardware/circuit/leads';
import { part } from '../../hardware/circuit/make';
import { BUILDS, type Build, type Mounted } from '../../hardware/enclosure/builds';
import type { Opening } from '../../hardware/enclosure/openings';
import { ENCLOSURE, type EnclosurePlan } from '../../hardware/enclosure/plan';
import { ENCLOSURE_RULES, enclosureFaults } from '../../hardware/enclosure/rules';
import { changed, rewired } from '../../hardware/mutations/change';
import { layoutOf } from '../../hardware/pcb/layouts';
import { CARRIER, POWER } from '../../hardware/pcb/projects';

test('the enclosure may be drilled as the list of holes has it', () => {
  expect(enclosureFaults(ENCLOSURE, CIRCUIT)).toEqual([]);
});

const withHole = (mark: string, change: Partial<Opening>): EnclosurePlan => ({
  ...ENCLOSURE,
  openings: ENCLOSURE.openings.map((hole) => (hole.mark === mark ? { ...hole, ...change } : hole)),
});
const without = (mark: string): EnclosurePlan => ({
  ...ENCLOSURE,
  openings: ENCLOSURE.openings.filter((hole) => hole.mark !== mark),
});
const withBoard = (
  build: Build['name'],
  name: string,
  change: Partial<Mounted>,
): EnclosurePlan => ({
  ...ENCLOSURE,
  builds: ENCLOSURE.builds.map((one) =>
    one.name === build
      ? {
          ...one,
          boards: one.boards.map((board) =>
            board.name === name ? { ...board, ...change } : board,
          ),
        }
      : one,
  ),
});

const withLead = (part: string, change: Partial<Lead>): EnclosurePlan => ({
  ...ENCLOSURE,
  leads: ENCLOSURE.leads.map((lead) => (lead.part === part ? { ...lead, ...change } : lead)),
});

/** The list or the circuit with one mistake in it, the rule that must see it, and a word of what it says. */
interface Mistake {
  readonly plan?: EnclosurePlan;
  readonly circuit?: Circuit;
  readonly rule: string;
  readonly says: RegExp;
}

const MISTAKES: Readonly<Record<string, Mistake>> = {
  'no gland for the lead of the load cell': {
    plan: without('G'),
    rule: 'hole-for-each',
    says: /LC1 has a lead that leaves, and has 0 holes/,
  },
  'no hole for the lamp of one build': {
    plan: without('M'),
    rule: 'hole-for-each',
    says: /LED1 is to be seen, and has 0 holes/,
  },
  'two holes for the sounder': {
    plan: withHole('D', { part: 'LS1' }),
    rule: 'hole-for-each',
    says: /LS1 is to be heard, and has 2 holes/,
  },
  'a hole for a part that sits on a board': {
    plan: withHole('D', { part: 'Q1' }),
    rule: 'hole-for-each',
    says: /Q1, .* needs no hole/,
  },
  'a new part in the wall of which nobody knows the hole': {
    circuit: {
      ...CIRCUIT,
      parts: [
        ...CIRCUIT.parts,
        part(
          'S1',
          'supply',
          'panel',
          'button',
          { kind: 'module' },
          { 1: 'passive' },
          { what: 'Button', substitutes: 'none' },
        ),
      ],
    },
    rule: 'hole-for-each',
    says: /S1/,
  },
  'the hole of the pump for the mat': {
    plan: withHole('B', { fit: 'round-2-pole-b' }),
    rule: 'hole-fits',
    says: /J2 is of the family round-2-pole-a and needs 13 mm; B has 17 mm/,
  },
  'plugs for mat and pump that fit into one hole': {
    circuit: changed('J3', { family: 'round-2-pole-a' }),
    rule: 'hole-fits',
    says: /J3 .* needs 13 mm; C has 17 mm/,
  },
  'two holes of one size for two plugs': {
    plan: withHole('C', { fit: 'round-2-pole-a' }),
    rule: 'hole-fits',
    says: /J2, mat and C: J3, pump go into one another's hole/,
  },
  'plugs whose rings leave no room for a finger': {
    plan: withHole('B', { across: 65 }),
    rule: 'holes-apart',
    says: /J1, .* and B: J2, mat are too near/,
  },
  'a flange over the corner': {
    plan: withHole('A', { across: 15 }),
    rule: 'holes-apart',
    says: /A: J1, .* reaches over an edge of the bottom/,
  },
  'a row of plugs where the lid reaches over the wall': {
    plan: withHole('A', { up: 80 }),
    rule: 'holes-apart',
    says: /A: J1, .* reaches over an edge of the bottom/,
  },
  'a gland whose nut meets a board': {
    plan: withHole('F', { up: 30 }),
    rule: 'room-inside',
    says: /F: TH2, .* and signal board are in one place/,
  },
  'a sounder in the way of the light pipe': {
    plan: withHole('K', { across: 185 }),
    rule: 'room-inside',
    says: /K: LS1, sounder and L: LED1/,
  },
  'a sounder on a post of the lid': {
    plan: withHole('K', { across: 25, up: 196 }),
    rule: 'room-inside',
    says: /K: LS1, sounder and a post of the lid/,
  },
  'a board that reaches through the wall': {
    plan: withBoard('strip', 'power board', { bottom: 60 }),
    rule: 'room-inside',
    says: /power board reaches beyond the walls/,
  },
  'a module under a board': {
    plan: withBoard('ordered', 'A2', { left: 85, bottom: 115 }),
    rule: 'room-inside',
    says: /power board and A2 are in one place/,
  },
  'a module before the terminals of a board': {
    plan: withBoard('ordered', 'A3', { left: 180, bottom: 65 }),
    rule: 'room-inside',
    says: /the wires at the bottom of the carrier board and A3/,
  },
  'a module before the USB socket of the controller': {
    plan: withBoard('ordered', 'A3', { left: 190, bottom: 170 }),
    rule: 'room-inside',
    says: /the USB plug of the controller board and A3/,
  },
  'a box of 240 x 160 x 90 mm': {
    plan: { ...ENCLOSURE, shape: { ...ENCLOSURE.shape, sizeMm: [240, 160, 90], bodyMm: 70 } },
    rule: 'room-inside',
    says: /power board reaches beyond the walls/,
  },
  'a gland in the wall': {
    plan: withHole('G', { face: 'right', across: 68, up: 60 }),
    rule: 'drip-edge',
    says: /LC1, .* looks sideways/,
  },
  'a vent on top': {
    plan: withHole('D', { face: 'top' }),
    rule: 'drip-edge',
    says: /on top/,
  },
  'a sounder that faces the wall': {
    plan: withHole('K', { face: 'right', across: 68, up: 40 }),
    rule: 'seen-and-heard',
    says: /K: LS1, sounder is not in the lid/,
  },
  'a light pipe beside the lamp': {
    plan: withHole('L', { across: 206 }),
    rule: 'seen-and-heard',
    says: /L: LED1, .*206 mm from the left.* misses the lamp/,
  },
  'single wires to the pump': {
    plan: { ...ENCLOSURE, leads: ENCLOSURE.leads.filter((lead) => lead.part !== 'J3') },
    rule: 'sealed-leads',
    says: /C: J3, pump has no sheathed lead/,
  },
  'a cable that is too thick for its plug': {
    plan: withLead('J2', { outerMm: [6, 7.2] }),
    rule: 'sealed-leads',
    says: /J2, mat is 6 to 7.2 mm thick; it seals on 4 to 6.5 mm/,
  },
  'a probe lead that is too thin for its gland': {
    plan: withLead('TH1', { outerMm: [2, 4] }),
    rule: 'sealed-leads',
    says: /E: TH1, .* is 2 to 4 mm thick/,
  },
  'a plain PVC cable to the mat': {
    plan: withLead('J2', { bearsC: 70 }),
    rule: 'sealed-leads',
    says: /bears 70 °C; the mat may come to 73 °C/,
  },
  'a cable with two brown cores': {
    circuit: rewired('PUMP_LOW', { colour: 'BN' }, 'J3.2'),
    rule: 'sealed-leads',
    says: /cores of the lead of C: J3/,
  },
};

describe('a mistake is refused by the rule for it', () => {
  test.each(Object.entries(MISTAKES))('%s', (_, { plan, circuit, rule, says }) => {
    const found = enclosureFaults(plan ?? ENCLOSURE, circuit ?? CIRCUIT);
    expect(found.filter((sentence) => sentence.startsWith(`${rule}: `)).join('\n')).toMatch(says);
  });

  test('each rule has at least one such mistake here', () => {
    const tried = new Set(Object.values(MISTAKES).map(({ rule }) => rule));
    expect(ENCLOSURE_RULES.map(({ id }) => id).filter((id) => !tried.has(id))).toEqual([]);
  });
});

test('the ordered boards stand on their own mounting holes', () => {
  const [ordered] = BUILDS.filter(({ name }) => name === 'ordered');
  for (const { name } of [POWER, CARRIER]) {
    const layout = layoutOf(name === POWER.name ? POWER : CARRIER);
    const board = ordered?.boards.find((one) => one.name === `${name} board`);
    expect(board).toBeDefined();
    if (board === undefined) continue;
    expect(board.standoffs).toEqual(
      layout.holes.map(({ x, y }) => ({ x: board.left + x, y: board.bottom + layout.height - y })),
    );
  }
});
