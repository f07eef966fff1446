/** The whole circuit: blocks joined to one netlist, and ways to look things up in it. */
import { controllerJoins, controllerParts } from './controller';
import { armParts, feedJoins, feedParts } from './feed';
import type { Circuit, Net, Part, PartKind, PinRef, RatingsOf } from './kinds';
import { type Joins, NET_USES, type NetName } from './nets';
import { matJoins, matParts, pumpJoins, pumpParts, sounderJoins, sounderParts } from './outputs';
import { probeJoins, probeParts, scaleJoins, scaleParts } from './sensors';
import { supplyJoins, supplyParts } from './supply';
import { WIRES } from './wires';

function joined(all: readonly Joins[]): Net[] {
  const nets: Net[] = [];
  for (const [name, use] of Object.entries(NET_USES)) {
    const pins = all.flatMap((joins) => joins[name as NetName] ?? []);
    nets.push({ name, use, pins });
  }
  return nets;
}

/** The reference build. */
export const CIRCUIT: Circuit = {
  parts: [
    ...supplyParts,
    ...controllerParts,
    ...feedParts,
    ...armParts,
    ...matParts,
    ...pumpParts,
    ...sounderParts,
    ...probeParts,
    ...scaleParts,
  ],
  nets: joined([
    supplyJoins,
    ...controllerJoins,
    ...feedJoins,
    matJoins,
    pumpJoins,
    sounderJoins,
    probeJoins,
    scaleJoins,
  ]),
  wires: WIRES,
};

/** Part and pin name of `Q1.G`. The pin name may itself hold points; the reference never does. */
export function splitPin(pin: PinRef): { ref: string; pin: string } {
  const dot = pin.indexOf('.');
  return { ref: pin.slice(0, dot), pin: pin.slice(dot + 1) };
}

/** What stands where in a circuit; of a part, net or pin that is there twice, the first. */
interface Index {
  readonly parts: ReadonlyMap<string, Part>;
  readonly nets: ReadonlyMap<string, Net>;
  /** By `ref.pin`. */
  readonly netOfPin: ReadonlyMap<string, Net>;
}

/** A circuit never changes: rules ask the same one a hundred thousand times. */
const indices = new WeakMap<Circuit, Index>();

function firstOfEach<T>(entries: readonly (readonly [string, T])[]): Map<string, T> {
  return new Map([...entries].reverse());
}

function indexOf(circuit: Circuit): Index {
  const known = indices.get(circuit);
  if (known !== undefined) return known;
  const { parts, nets } = circuit;
  const index: Index = {
    parts: firstOfEach(parts.map((part) => [part.ref, part])),
    nets: firstOfEach(nets.map((net) => [net.name, net])),
    netOfPin: firstOfEach(nets.flatMap((net) => net.pins.map((pin) => [pin, net] as const))),
  };
  indices.set(circuit, index);
  return index;
}

export function findPart(circuit: Circuit, ref: string): Part | undefined {
  return indexOf(circuit).parts.get(ref);
}

export function findNet(circuit: Circuit, name: string): Net | undefined {
  return indexOf(circuit).nets.get(name);
}

export function netOf(circuit: Circuit, pin: PinRef): Net | undefined {
  return indexOf(circuit).netOfPin.get(pin);
}

/** A part narrowed to one kind, with that kind's ratings. */
export type PartOf<K extends PartKind> = Part & { readonly ratings: RatingsOf<K> };

export function isKind<K extends PartKind>(part: Part, kind: K): part is PartOf<K> {
  return part.ratings.kind === kind;
}

export function partsOf<K extends PartKind>(circuit: Circuit, kind: K): PartOf<K>[] {
  return circuit.parts.filter((part): part is PartOf<K> => isKind(part, kind));
}

/** Pins of `part` with the nets they are on; pins on no net are left out. */
export function netsOf(circuit: Circuit, part: Part): Map<string, Net> {
  const found = new Map<string, Net>();
  for (const pin of Object.keys(part.pins)) {
    const net = netOf(circuit, `${part.ref}.${pin}`);
    if (net !== undefined) found.set(pin, net);
  }
  return found;
}

/** Parts that have a pin on `net`. */
export function partsOn(circuit: Circuit, net: Net): Part[] {
  const refs = new Set(net.pins.map((pin) => splitPin(pin).ref));
  return circuit.parts.filter((part) => refs.has(part.ref));
}
