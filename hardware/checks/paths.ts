/** Where direct current can go: through parts, from net to net. */
import { findNet, findPart, netOf, splitPin } from '../circuit/circuit';
import type { Circuit, Part } from '../circuit/kinds';

/** Module pins that are one piece of copper inside the module. */
export const MODULE_TIES: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  A1: [
    ['GND', 'GND2'],
    ['GND', 'GND3'],
    ['GND', 'AGND'],
  ],
  A2: [['IN-', 'OUT-']],
  A3: [['GND', 'E-']],
};

/** Pairs of pins between which `part` lets direct current through. */
export function conductingPairs(part: Part): readonly (readonly [string, string])[] {
  switch (part.ratings.kind) {
    case 'resistor':
    case 'diode':
    case 'fuse':
    case 'cut-out':
    case 'thermistor':
    case 'load':
    case 'lamp': {
      const [first, second] = Object.keys(part.pins);
      return first !== undefined && second !== undefined ? [[first, second]] : [];
    }
    case 'mosfet':
      return [['D', 'S']];
    case 'bipolar':
      return [
        ['C', 'E'],
        ['B', 'E'],
      ];
    case 'load-cell':
      return [
        ['E+', 'S+'],
        ['E+', 'S-'],
        ['E-', 'S+'],
        ['E-', 'S-'],
      ];
    case 'module':
      return MODULE_TIES[part.ref] ?? [];
    default:
      return [];
  }
}

interface Neighbour {
  readonly part: Part;
  readonly net: string;
}

/** By net. A circuit never changes, and its rules walk it from every net. */
const neighboursByNet = new WeakMap<Circuit, Map<string, readonly Neighbour[]>>();

/** Nets joined to `net` by one part that conducts, with that part. */
export function neighbours(circuit: Circuit, net: string): readonly Neighbour[] {
  const byNet = neighboursByNet.get(circuit) ?? new Map<string, readonly Neighbour[]>();
  neighboursByNet.set(circuit, byNet);
  const found = byNet.get(net) ?? neighboursOf(circuit, net);
  byNet.set(net, found);
  return found;
}

function neighboursOf(circuit: Circuit, net: string): Neighbour[] {
  const here = findNet(circuit, net);
  const found: Neighbour[] = [];
  for (const pinRef of here?.pins ?? []) {
    const { ref, pin } = splitPin(pinRef);
    const part = findPart(circuit, ref);
    if (part === undefined) continue;
    for (const [a, b] of conductingPairs(part)) {
      const other = a === pin ? b : b === pin ? a : null;
      const there = other === null ? undefined : netOf(circuit, `${ref}.${other}`);
      if (there !== undefined && there.name !== net) found.push({ part, net: there.name });
    }
  }
  return found;
}

/** All nets reachable from `start` through parts; `passes` may stop the walk at a part or net. */
export function reachable(
  circuit: Circuit,
  start: string,
  passes: (part: Part, net: string) => boolean = () => true,
): Set<string> {
  const seen = new Set([start]);
  const queue = [start];
  for (let net = queue.pop(); net !== undefined; net = queue.pop()) {
    for (const next of neighbours(circuit, net)) {
      if (seen.has(next.net) || !passes(next.part, next.net)) continue;
      seen.add(next.net);
      queue.push(next.net);
    }
  }
  return seen;
}

export const isGround = (circuit: Circuit, name: string): boolean => {
  const use = findNet(circuit, name)?.use;
  return use === 'ground' || use === 'quiet-ground';
};
