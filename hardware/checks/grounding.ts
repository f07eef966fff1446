/** The ground as it is wired: places joined by wires and by copper inside modules. */
import { findPart, netOf, splitPin } from '../circuit/circuit';
import type { Circuit, Place, Wire } from '../circuit/kinds';
import { MODULE_TIES } from './paths';

/**
 * A piece of ground copper: the ground nets of one place. Power ground and quiet ground of a place
 * are apart unless the module there ties them.
 */
type Node = string;

const nodeOf = (circuit: Circuit, pinRef: `${string}.${string}`): Node | null => {
  const net = netOf(circuit, pinRef);
  const part = findPart(circuit, splitPin(pinRef).ref);
  if (net === undefined || part === undefined) return null;
  if (net.use !== 'ground' && net.use !== 'quiet-ground') return null;
  return MODULE_TIES[part.ref] === undefined ? `${part.place}:${net.name}` : part.place;
};

export interface GroundEdge {
  readonly wire: Wire;
  readonly a: Node;
  readonly b: Node;
}

/** A circuit never changes, and its rules ask for the way from every place. */
const edgesOf = new WeakMap<Circuit, readonly GroundEdge[]>();

/** Ground wires inside the box as edges between pieces of ground copper. */
export function groundEdges(circuit: Circuit): readonly GroundEdge[] {
  const edges = edgesOf.get(circuit) ?? foundEdges(circuit);
  edgesOf.set(circuit, edges);
  return edges;
}

function foundEdges(circuit: Circuit): GroundEdge[] {
  return circuit.wires.flatMap((wire) => {
    const a = nodeOf(circuit, wire.from);
    const b = nodeOf(circuit, wire.to);
    return a === null || b === null ? [] : [{ wire, a, b }];
  });
}

const isAt = (node: Node, place: Place): boolean => node === place || node.startsWith(`${place}:`);

/** Ground wires on the way between two places, or null when there is none. */
export const groundPath = (circuit: Circuit, from: Place, to: Place): Wire[] | null =>
  pathAmong(groundEdges(circuit), from, to);

/** The same with these wires alone. */
export function pathAmong(edges: readonly GroundEdge[], from: Place, to: Place): Wire[] | null {
  const starts = [...new Set(edges.flatMap((edge) => [edge.a, edge.b]))].filter((node) =>
    isAt(node, from),
  );
  const walk = (node: Node, used: readonly Wire[]): Wire[] | null => {
    if (isAt(node, to)) return [...used];
    for (const edge of edges) {
      if (used.includes(edge.wire) || (edge.a !== node && edge.b !== node)) continue;
      const found = walk(edge.a === node ? edge.b : edge.a, [...used, edge.wire]);
      if (found !== null) return found;
    }
    return null;
  };
  for (const start of starts) {
    const found = walk(start, []);
    if (found !== null) return found;
  }
  return null;
}

/** Wires that close a ring of ground, in the order found. */
export function groundRings(circuit: Circuit): Wire[] {
  const root = new Map<Node, Node>();
  const top = (node: Node): Node => {
    const above = root.get(node);
    return above === undefined || above === node ? node : top(above);
  };
  return groundEdges(circuit)
    .filter(({ a, b }) => {
      const first = top(a);
      const second = top(b);
      if (first === second) return true;
      root.set(first, second);
      return false;
    })
    .map((edge) => edge.wire);
}
