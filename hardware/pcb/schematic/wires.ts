/** The wires of a sheet, their dots, and the names of nets: from the same plan as the drawn sheets. */
import { splitPin } from '../../circuit/circuit';
import type { PinRef } from '../../circuit/kinds';
import { onSegment, type Segment } from '../../draw/clashes';
import type { Flag } from '../../draw/flags';
import { groundSpots, layOut } from '../../draw/schematic';
import type { Point } from '../../draw/svg';
import { type Form, q } from '../expression';
import { uuid } from '../identity';
import { isGroundNet, netsShown, netsWithFlag } from '../net-names';
import type { Project } from '../projects';
import { atPoint, type Job, note, onGrid, STEP } from './job';
import { groundAt, powerSymbol } from './symbol-places';
import { shapeOf } from './symbol-shapes';
import { font, HIDDEN, property, wantsDriver } from './symbols';

const FLAG_ANGLE = { right: 0, up: 90, left: 180, down: 270 } as const;

/** Straight pieces of wire between all points at which something hangs on a net. */
function pieces(segments: readonly Segment[], nodes: readonly Point[]): Segment[] {
  return segments.flatMap((segment) => {
    const on = nodes
      .filter((node) => onSegment(node, segment))
      .sort((a, b) => a.x - b.x || a.y - b.y);
    return on.slice(1).flatMap((to, index) => {
      const from = on[index];
      return from === undefined || (from.x === to.x && from.y === to.y)
        ? []
        : [{ net: segment.net, from, to }];
    });
  });
}

function distinct(points: readonly Point[]): Point[] {
  return points.filter(
    (point, index) => !points.slice(0, index).some((one) => atPoint(one, point)),
  );
}

interface Wired {
  readonly wires: readonly Segment[];
  readonly dots: readonly Point[];
}

/** Wires of one net, broken where something joins them, with dots where three or more ends meet. */
function wired(
  segments: readonly Segment[],
  pins: readonly Point[],
  labels: readonly Point[],
): Wired {
  const ends = segments.flatMap(({ from, to }) => [from, to]);
  const nodes = distinct([...ends, ...pins, ...labels]);
  const broken = pieces(segments, nodes);
  const wires = broken.filter(
    (one, index) =>
      !broken.slice(0, index).some((two) => atPoint(one.from, two.from) && atPoint(one.to, two.to)),
  );
  const dots = nodes.filter((node) => {
    const arms = wires.filter(({ from, to }) => atPoint(from, node) || atPoint(to, node)).length;
    const legs = pins.filter((pin) => atPoint(pin, node)).length;
    return arms >= 3 || (arms === 2 && legs > 0);
  });
  return { wires, dots };
}

const wireForm = ({ project, sheet }: Job, { net, from, to }: Segment): Form => [
  'wire',
  ['pts', ['xy', from.x, from.y], ['xy', to.x, to.y]],
  ['stroke', ['width', 0], ['type', 'default']],
  uuid(project.name, sheet.name, 'wire', net, `${from.x},${from.y},${to.x},${to.y}`),
];

function globalLabel({ project, sheet }: Job, { net, at: where, way }: Flag): Form {
  const at = onGrid(where);
  const side = way === 'left' || way === 'down' ? 'right' : 'left';
  return [
    'global_label',
    q(net),
    ['shape', 'passive'],
    ['at', at.x, at.y, FLAG_ANGLE[way]],
    font(1.27, ['justify', side]),
    uuid(project.name, sheet.name, 'label', net, `${at.x},${at.y}`),
  ];
}

/** Width of a letter of a local label, mm. */
const LABEL_LETTER_MM = 0.95;

/** The name of a net that stays on its sheet, over its longest piece of level wire. */
function localLabel({ project, sheet }: Job, net: string, wires: readonly Segment[]): Form {
  const length = ({ from, to }: Segment): number => Math.hypot(to.x - from.x, to.y - from.y);
  const level = (wire: Segment): number => (wire.from.y === wire.to.y ? 1 : 0);
  const [best] = [...wires].sort((a, b) => level(b) - level(a) || length(b) - length(a));
  if (best === undefined) throw new Error(`net ${net} has no wire on ${sheet.name}`);
  // In the middle, for a pole with a name of its own may stand at either end.
  const slack = (length(best) - net.length * LABEL_LETTER_MM) / 2;
  const off = Math.max(0, Math.floor(slack / STEP.kicad)) * STEP.kicad;
  const lying = level(best) === 1;
  const at = lying
    ? { x: best.from.x + off, y: best.from.y }
    : { x: best.to.x, y: best.to.y - off };
  return [
    'label',
    q(net),
    ['at', at.x, at.y, lying ? 0 : 90],
    font(1.1, ['justify', 'left', 'bottom']),
    uuid(project.name, sheet.name, 'label', net, `${at.x},${at.y}`),
  ];
}

export function nets(job: Job): Form[] {
  const { project, sheet } = job;
  const { collected, segments } = layOut(project.circuit, sheet.plan);
  const grounds = groundSpots(project.circuit, sheet.plan, collected);
  const flagged = netsWithFlag(project);
  const moved = segments
    .map((one) => ({ ...one, from: onGrid(one.from), to: onGrid(one.to) }))
    .filter(({ from, to }) => !atPoint(from, to));
  const perNet = [...collected.points].flatMap(([net, pins]): Form[] => {
    const mine = moved.filter((segment) => segment.net === net);
    const flags = sheet.plan.flags.filter((flag) => flag.net === net);
    const spots = grounds.filter((ground) => ground.net === net).map(({ at }) => onGrid(at));
    // A pole's ring shows by itself that the wire is joined there.
    const legs = pins.filter(({ pin }) => hasLeg(project, pin)).map(({ at }) => onGrid(at));
    const rings = pins.map(({ at }) => onGrid(at));
    const { wires, dots } = wired(mine, legs, [
      ...rings,
      ...flags.map(({ at }) => onGrid(at)),
      ...spots,
    ]);
    const named = flagged.has(net) || isGroundNet(project, net);
    return [
      ...wires.map((wire) => wireForm(job, wire)),
      ...dots.map(
        (dot): Form => [
          'junction',
          ['at', dot.x, dot.y],
          ['diameter', 0],
          ['color', 0, 0, 0, 0],
          uuid(project.name, sheet.name, 'junction', `${dot.x},${dot.y}`),
        ],
      ),
      ...(named ? [] : [localLabel(job, net, wires)]),
    ];
  });
  return [
    ...perNet,
    ...sheet.plan.flags.map((flag) => globalLabel(job, flag)),
    ...grounds.map(({ net, at, quiet }) => groundAt(job, net, onGrid(at), quiet)),
  ];
}

function hasLeg(project: Project, pin: string): boolean {
  const { ref } = splitPin(pin as PinRef);
  const part = project.circuit.parts.find((one) => one.ref === ref);
  return part !== undefined && shapeOf(part) !== null;
}

const localLabelAt = ({ project, sheet }: Job, net: string, at: Point): Form => [
  'label',
  q(net),
  ['at', at.x, at.y, 0],
  font(1.1, ['justify', 'left', 'bottom']),
  uuid(project.name, sheet.name, 'flag label', net),
];

const globalLabelAt = ({ project, sheet }: Job, net: string, at: Point): Form => [
  'global_label',
  q(net),
  ['shape', 'passive'],
  ['at', at.x, at.y, 0],
  font(1.27, ['justify', 'left']),
  uuid(project.name, sheet.name, 'flag label', net),
];

/** Nets that want to be fed and have no source among their pins, told once, on the first sheet that shows them. */
function fedOn({ project, sheet }: Job): string[] {
  const shown = netsShown(project);
  const place = project.sheets.indexOf(sheet);
  return project.circuit.nets
    .filter(({ pins }) => {
      const roles = pins.flatMap((pin) => {
        const { ref, pin: name } = splitPin(pin);
        const role = project.circuit.parts.find((part) => part.ref === ref)?.pins[name];
        return role === undefined ? [] : [role];
      });
      return roles.some(wantsDriver) && !roles.includes('source');
    })
    .map(({ name }) => name)
    .filter((name) => shown.findIndex((nets) => nets.has(name)) === place);
}

/** Below the drawing: which nets of this sheet are fed through a part that KiCad's rules take for a mere resistor. */
export function powerFlags(job: Job): Form[] {
  const fed = fedOn(job);
  if (fed.length === 0) return [];
  const y = 226.06;
  return [
    note(
      job,
      { x: 20.32, y: y - 7.62 },
      'Power flags: these nets are fed through switches, fuses or connectors',
    ),
    ...fed.flatMap((net, index): Form[] => {
      const at = { x: 22.86 + index * 33.02, y };
      const end = { x: at.x + 5.08, y };
      const flag = powerSymbol(job, 'PWR_FLAG', at, '#FLG', [
        property('Value', 'PWR_FLAG', [at.x, at.y - 3.8, 0], HIDDEN),
      ]);
      if (isGroundNet(job.project, net)) {
        const text = note(job, { x: at.x + 3.5, y: at.y + 1 }, net);
        return [flag, groundAt(job, net, at, false), text];
      }
      const label = netsWithFlag(job.project).has(net)
        ? globalLabelAt(job, net, end)
        : localLabelAt(job, net, end);
      return [flag, wireForm(job, { net, from: at, to: end }), label];
    }),
  ];
}
