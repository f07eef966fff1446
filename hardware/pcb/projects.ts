/**
 * The two boards that can be ordered, each a KiCad project of its own: the power board, and the carrier, which holds
 * what the signal board of the strip-board build holds and the controller board besides. Between them, and out of the
 * box, run the wires of `circuit/wires.ts`; what runs from the controller board to the signal board there is copper here.
 */
import { CIRCUIT, splitPin } from '../circuit/circuit';
import type { Circuit, Net, Part, PinRef, Place } from '../circuit/kinds';
import { part } from '../circuit/make';
import { packageOf } from '../circuit/packages';
import type { SheetPlan } from '../draw/schematic';
import { matSupply, pumpSupply } from '../draw/sheet-feed';
import { at, toRight } from '../draw/sheet-words';
import { controller, outputs, supply } from '../draw/sheets-power';
import { probes, scale, sounder } from '../draw/sheets-signal';
import type { Point } from '../draw/svg';
import {
  boughtFor,
  CARRIER_TERMINALS,
  counted,
  MODULE_FOOTPRINTS,
  modulePads,
  PIECES,
  terminalsBought,
} from './pieces';

/** A part of the netlist, or a piece of one, as KiCad knows it. */
export interface KicadPart {
  readonly ref: string;
  readonly part: Part;
  /** Pads of each of its pins, by the netlist's names of the pins. */
  readonly pads: ReadonlyMap<string, readonly string[]>;
  /** Null for what is not on this board. */
  readonly footprint: string | null;
  /** What to ask for. */
  readonly bought: string;
}

export interface ProjectSheet {
  readonly name: string;
  readonly plan: SheetPlan;
}

export interface Project {
  readonly name: string;
  readonly title: string;
  readonly circuit: Circuit;
  readonly parts: readonly KicadPart[];
  readonly sheets: readonly ProjectSheet[];
}

/** The pieces of a part, or the part itself; `places` are those whose parts are soldered to the board. */
function kicadParts(source: Part, places: readonly Place[]): KicadPart[] {
  const here = places.includes(source.place);
  const pieces = PIECES.filter(({ of }) => of === source.ref);
  const taken = new Set(pieces.flatMap(({ pins }) => pins));
  const rest = Object.keys(source.pins).filter((name) => !taken.has(name));
  const found = pieces.map(({ ref, pins, footprint, bought }) => ({
    ref,
    part: source,
    pads: counted(pins),
    footprint,
    bought,
  }));
  if (rest.length === 0) return found;
  const known = here ? packageOf(source) : null;
  // What the controller board carries itself is not soldered to the carrier.
  const carried = source.place === 'controller' && MODULE_FOOTPRINTS[source.ref] === undefined;
  return [
    {
      ref: source.ref,
      part: source,
      pads: known === null ? modulePads(source, rest) : new Map(Object.entries(known.pads)),
      footprint:
        here && !carried ? (known?.footprint ?? MODULE_FOOTPRINTS[source.ref] ?? null) : null,
      bought: boughtFor(source),
    },
    ...found,
  ];
}

function part3(): Part {
  return part(
    CARRIER_TERMINALS.ref,
    'controller',
    'controller',
    'terminals',
    { kind: 'connector', family: 'screw', ratedA: 10, ratedV: 60 },
    Object.fromEntries(
      Object.keys(CARRIER_TERMINALS.poles).map((name) => [name, 'passive' as const]),
    ),
    {
      what: terminalsBought(Object.keys(CARRIER_TERMINALS.poles).length),
      substitutes: 'any 5.08 mm terminals of 10 A or more',
    },
  );
}

/** The netlist with the carrier's terminals in it. */
function withTerminals(circuit: Circuit): Circuit {
  const joins = Object.entries(CARRIER_TERMINALS.poles);
  const added = (net: Net): PinRef[] =>
    joins
      .filter(([, pin]) => net.pins.includes(pin))
      .map(([pole]): PinRef => `${CARRIER_TERMINALS.ref}.${pole}`);
  return {
    ...circuit,
    parts: [...circuit.parts, part3()],
    nets: circuit.nets.map((net) => ({ ...net, pins: [...net.pins, ...added(net)] })),
  };
}

/** What of a netlist is drawn in one project. */
function excerpt(circuit: Circuit, parts: readonly Part[]): Circuit {
  const refs = new Set(parts.map(({ ref }) => ref));
  const nets = circuit.nets
    .map((net) => ({ ...net, pins: net.pins.filter((pin) => refs.has(splitPin(pin).ref)) }))
    .filter(({ pins }) => pins.length > 0);
  return { parts, nets, wires: [] };
}

function project(
  name: string,
  title: string,
  whole: Circuit,
  places: readonly Place[],
  sheets: readonly ProjectSheet[],
): Project {
  const blocks = new Set(sheets.flatMap(({ plan }) => plan.blocks));
  const circuit = excerpt(
    whole,
    whole.parts.filter(({ block }) => blocks.has(block)),
  );
  const parts = circuit.parts.flatMap((source) => kicadParts(source, places));
  return { name, title, circuit, parts, sheets };
}

/** The sounder's sheet of its own begins further up. */
const raised = (plan: SheetPlan, mm: number): SheetPlan => {
  const up = ({ x, y }: Point): Point => ({ x, y: y - mm });
  const spot = <T extends { readonly at: Point }>(one: T): T => ({ ...one, at: up(one.at) });
  return {
    ...plan,
    parts: Object.fromEntries(Object.entries(plan.parts).map(([ref, one]) => [ref, spot(one)])),
    pins: plan.pins.map(spot),
    flags: plan.flags.map(spot),
    notes: plan.notes.map(spot),
    trunks: Object.fromEntries(
      Object.entries(plan.trunks).map(([net, points]) => [net, points.map(up)]),
    ),
  };
};

export const POWER: Project = project(
  'power',
  'Trayward power board',
  CIRCUIT,
  ['power-board'],
  [
    { name: 'Supply', plan: supply },
    { name: 'Supply of the mat', plan: matSupply },
    { name: 'Supply of the pump', plan: pumpSupply },
    { name: 'Mat and pump', plan: outputs },
    { name: 'Sounder', plan: raised(sounder, 80) },
  ],
);

const TERMINAL_SPOTS = [
  ['VSYS', 220, 42.5],
  ['MAT', 220, 70],
  ['PUMP', 220, 80],
  ['SND', 220, 87.5],
  ['FEED', 220, 95],
  ['ARM', 220, 102.5],
  ['SENSE', 220, 168],
] as const;

const controllerWithTerminals: SheetPlan = {
  ...controller,
  pins: [
    ...controller.pins,
    ...TERMINAL_SPOTS.map(([pole, x, y]) => ({
      pin: `${CARRIER_TERMINALS.ref}.${pole}` as const,
      at: at(x, y),
    })),
    { pin: 'X3.OUT-', at: at(240, 50), label: toRight },
    { pin: 'X3.GND', at: at(240, 60), label: toRight },
    { pin: 'X2.GND', at: at(152.5, 117.5), label: { x: -2.2, y: 0.9, anchor: 'end' } },
    { pin: 'X2.3V3', at: at(150, 42.5) },
  ],
};

export const CARRIER: Project = project(
  'carrier',
  'Trayward carrier: controller board, probes, scale',
  withTerminals(CIRCUIT),
  ['signal-board', 'controller'],
  [
    { name: 'Controller', plan: controllerWithTerminals },
    { name: 'Probes', plan: probes },
    { name: 'Scale', plan: scale },
  ],
);

export const PROJECTS: readonly Project[] = [POWER, CARRIER];

/** KiCad's part and pads of a pin of the netlist; null for a pin that is not in this project. */
export function padsOf(
  { parts }: Project,
  pin: PinRef,
): { readonly part: KicadPart; readonly pads: readonly string[] } | null {
  const { ref, pin: name } = splitPin(pin);
  const found = parts.find(({ part: source, pads }) => source.ref === ref && pads.has(name));
  const pads = found?.pads.get(name);
  return found === undefined || pads === undefined ? null : { part: found, pads };
}
