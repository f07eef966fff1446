/** The symbols of a sheet: where each stands, what is written beside it, and the library they come from. */
import { splitPin } from '../../circuit/circuit';
import type { Part, PinRef } from '../../circuit/kinds';
import type { ModuleBox } from '../../draw/schematic';
import type { Point } from '../../draw/svg';
import type { Placing, Way } from '../../draw/symbols';
import type { Form } from '../expression';
import { identity } from '../identity';
import { isGroundNet } from '../net-names';
import { type KicadPart, type Project, padsOf } from '../projects';
import { instance, type Job, onGrid } from './job';
import { shapeOf } from './symbol-shapes';
import {
  type BoxSpot,
  groundSymbol,
  HIDDEN,
  moduleSymbol,
  POWER_FLAG,
  type PoleSpot,
  partSymbol,
  poleSymbol,
  property,
} from './symbols';

/** KiCad turns counter-clockwise. */
const ANGLE: Readonly<Record<Way, number>> = { down: 0, left: 270, up: 180, right: 90 };

/** What stands beside the value: what the part must bear. */
function ratingText({ ratings }: Part): string {
  switch (ratings.kind) {
    case 'capacitor':
    case 'fuse':
      return `${ratings.ratedV} V`;
    case 'diode':
      return ratings.ratedA >= 1 && ratings.clampV === undefined ? `${ratings.reverseV} V` : '';
    default:
      return '';
  }
}

const HIDDEN_AT = (at: Point): [number, number, number] => [at.x, at.y, 0];

function hiddenProperties(part: KicadPart, at: Point): Form[] {
  return [
    property('Footprint', part.footprint ?? '', HIDDEN_AT(at), HIDDEN),
    property('Datasheet', '', HIDDEN_AT(at), HIDDEN),
    property('Description', part.bought, HIDDEN_AT(at), HIDDEN),
  ];
}

/** Reference, value and rating below each other, upright however the symbol is turned. */
function labelled(part: KicadPart, at: Point, angle: number, label: Placing['label']): Form[] {
  const lying = angle === 90 || angle === 270;
  const wide = shapeOf(part.part)?.showNumbers === true;
  const anchor = label?.anchor ?? (lying ? 'middle' : 'start');
  const x = at.x + (label?.x ?? (lying ? 0 : wide ? 5.6 : 4)) * 1.016;
  const rating = ratingText(part.part);
  const over = rating === '' ? -5.2 : -7.6;
  // Words above a lying part end above it, however many rows they have.
  const row0 = lying
    ? Math.min(label?.y ?? over, label !== undefined && label.y > 0 ? label.y : over)
    : -1.4;
  const y = at.y + (lying ? row0 : (label?.y ?? row0) - 0.4);
  // A symbol turned by half a turn swaps the sides to which its words are set.
  const side =
    anchor === 'middle' ? null : (anchor === 'start') === (angle !== 180) ? 'left' : 'right';
  const justify: Form[] = side === null ? [] : [['justify', side]];
  const turn = lying ? 90 : 0;
  const row = (name: string, text: string, index: number): Form =>
    property(name, text, [x, y + index * 2.1, turn], ...justify);
  return [
    row('Reference', part.ref, 0),
    row('Value', part.part.value, 1),
    ...hiddenProperties(part, at),
    ...(rating === '' ? [] : [row('Rating', rating, 2)]),
  ];
}

const allPads = (part: KicadPart): string[] => [...part.pads.values()].flat();

function seatOf(project: Project, pin: PinRef): KicadPart {
  const found = padsOf(project, pin);
  if (found === null) throw new Error(`${pin} is not in the project ${project.name}`);
  return found.part;
}

/** Poles of each connector over all sheets, in the order in which they are drawn: its units. */
function polesOf(project: Project): Map<KicadPart, PoleSpot[]> {
  const poles = new Map<KicadPart, PoleSpot[]>();
  const add = (pin: PinRef, label: PoleSpot['label']): void => {
    const part = seatOf(project, pin);
    if (shapeOf(part.part) !== null) return;
    const name = splitPin(pin).pin;
    const spot = { pin: name, words: `${part.ref} ${name}`, label };
    poles.set(part, [...(poles.get(part) ?? []), spot]);
  };
  for (const { plan } of project.sheets) {
    for (const { pin, label } of plan.pins) add(pin, label ?? { x: 0, y: -2.6, anchor: 'middle' });
    for (const { ref, pins } of plan.modules) {
      for (const name of strayPins(project, ref, pins))
        add(`${ref}.${name}`, { x: 3.2, y: 0.9, anchor: 'start' });
    }
  }
  return poles;
}

/** Pins that a module's box shows and that KiCad counts to another part. */
const strayPins = (project: Project, ref: string, pins: ModuleBox['pins']): string[] =>
  Object.keys(pins).filter((name) => seatOf(project, `${ref}.${name}`).ref !== ref);

function boxSpot(project: Project, box: ModuleBox): BoxSpot & { readonly middle: Point } {
  const low = onGrid({ x: box.x, y: box.y });
  const high = onGrid({ x: box.x + box.width, y: box.y + box.height });
  // The middle lies on the grid, or no pin would.
  const middle = onGrid({ x: box.x + box.width / 2, y: box.y + box.height / 2 });
  const stray = strayPins(project, box.ref, box.pins);
  const pins = Object.entries(box.pins)
    .filter(([name]) => !stray.includes(name))
    .map(([name, at]): [string, Point] => {
      const there = onGrid(at);
      return [name, { x: there.x - middle.x, y: middle.y - there.y }];
    });
  return {
    middle,
    halfWidth: (high.x - low.x) / 2,
    halfHeight: (high.y - low.y) / 2,
    pins: new Map(pins),
  };
}

export function modules(job: Job): Form[] {
  return job.sheet.plan.modules.map((box) => {
    const part = job.project.parts.find(({ ref }) => ref === box.ref);
    if (part === undefined) throw new Error(`${box.ref} is not in the project`);
    const { middle: at, halfHeight } = boxSpot(job.project, box);
    return instance(job, {
      id: part.ref,
      ref: part.ref,
      at,
      angle: 0,
      unit: 1,
      properties: [
        property('Reference', part.ref, [at.x, at.y + halfHeight + 2, 0]),
        property('Value', part.part.value, [at.x, at.y + halfHeight + 4.2, 0]),
        ...hiddenProperties(part, at),
      ],
      pads: allPads(part),
      onBoard: part.footprint !== null,
      inBom: part.footprint !== null,
    });
  });
}

export function symbols(job: Job): Form[] {
  const { project, sheet } = job;
  return Object.entries(sheet.plan.parts).map(([ref, placing]) => {
    const part = project.parts.find((one) => one.ref === ref);
    const shape = part === undefined ? null : shapeOf(part.part);
    if (part === undefined || shape === null) throw new Error(`${ref} has no symbol`);
    const at = onGrid(placing.at);
    return instance(job, {
      id: partSymbol(part, shape).id,
      ref,
      at,
      angle: ANGLE[placing.way],
      unit: 1,
      properties: labelled(part, at, ANGLE[placing.way], placing.label),
      pads: allPads(part),
      onBoard: part.footprint !== null,
      inBom: part.footprint !== null,
    });
  });
}

function pole(
  job: Job,
  units: ReadonlyMap<KicadPart, readonly PoleSpot[]>,
  pin: PinRef,
  where: Point,
): Form {
  const part = seatOf(job.project, pin);
  const at = onGrid(where);
  const shape = shapeOf(part.part);
  if (shape !== null) {
    return instance(job, {
      id: partSymbol(part, shape).id,
      ref: part.ref,
      at,
      angle: 0,
      unit: 1,
      properties: [
        property('Reference', part.ref, [at.x, at.y - 8, 0]),
        property('Value', part.part.value, [at.x, at.y - 5.9, 0]),
        ...hiddenProperties(part, at),
      ],
      pads: allPads(part),
      onBoard: part.footprint !== null,
      inBom: part.footprint !== null,
    });
  }
  const name = splitPin(pin).pin;
  return instance(job, {
    id: part.ref,
    ref: part.ref,
    at,
    angle: 0,
    unit: (units.get(part) ?? []).findIndex((spot) => spot.pin === name) + 1,
    properties: [
      property('Reference', part.ref, HIDDEN_AT(at), HIDDEN),
      property('Value', part.part.value, HIDDEN_AT(at), HIDDEN),
      ...hiddenProperties(part, at),
    ],
    pads: [...(part.pads.get(name) ?? [])],
    onBoard: part.footprint !== null,
    inBom: part.footprint !== null,
  });
}

export function poles(job: Job): Form[] {
  const { project, sheet } = job;
  const units = polesOf(project);
  return [
    ...sheet.plan.pins.map(({ pin, at }) => pole(job, units, pin, at)),
    ...sheet.plan.modules.flatMap(({ ref, pins }) =>
      strayPins(project, ref, pins).map((name) => {
        const at = pins[name];
        if (at === undefined) throw new Error(`${ref}.${name} has no place`);
        return pole(job, units, `${ref}.${name}`, at);
      }),
    ),
  ];
}

/** A power symbol: its value is its net, its reference is counted by place. */
export function powerSymbol(
  job: Job,
  id: string,
  at: Point,
  mark: '#PWR' | '#FLG',
  valueAt: Form[],
): Form {
  const ref = `${mark}${identity(job.path, id, `${at.x},${at.y}`).replace(/\D/g, '').slice(0, 6)}`;
  return instance(job, {
    id,
    ref,
    at,
    angle: 0,
    unit: 1,
    properties: [property('Reference', ref, HIDDEN_AT(at), HIDDEN), ...valueAt],
    pads: ['1'],
    onBoard: true,
    inBom: true,
  });
}

export const groundAt = (job: Job, net: string, at: Point, quiet: boolean): Form =>
  powerSymbol(job, net, at, '#PWR', [
    property('Value', net, [at.x, at.y + 5, 0], ...(quiet ? [] : [HIDDEN])),
  ]);

/** Every library symbol of a project by its name. */
export function librarySymbols(project: Project): ReadonlyMap<string, Form> {
  const found = new Map<string, Form>();
  for (const part of project.parts) {
    const shape = shapeOf(part.part);
    if (shape === null) continue;
    const { id, form } = partSymbol(part, shape);
    found.set(id, form);
  }
  for (const [part, spots] of polesOf(project)) found.set(part.ref, poleSymbol(part, spots));
  for (const box of project.sheets.flatMap(({ plan }) => plan.modules)) {
    const part = project.parts.find(({ ref }) => ref === box.ref);
    if (part !== undefined) found.set(box.ref, moduleSymbol(part, boxSpot(project, box)));
  }
  for (const net of project.circuit.nets.filter(({ name }) => isGroundNet(project, name)))
    found.set(net.name, groundSymbol(net.name, net.use === 'quiet-ground'));
  found.set('PWR_FLAG', POWER_FLAG);
  return found;
}
