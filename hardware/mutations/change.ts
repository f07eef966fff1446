/** Ways to spoil the circuit, one at a time. */
import { CIRCUIT } from '../circuit/circuit';
import type { Circuit, Part, PinRef, Ratings, Wire } from '../circuit/kinds';

/** A mistake that is a fault, and the rule that must refuse it, naming part and net. */
export interface Mutation {
  readonly what: string;
  readonly circuit: Circuit;
  readonly rule: string;
  readonly part: string;
  readonly net: string;
}

/** A change that harms nothing, and why. */
export interface Harmless {
  readonly what: string;
  readonly circuit: Circuit;
  readonly because: string;
}

export type Row = readonly [
  what: string,
  circuit: Circuit,
  rule: string,
  part: string,
  net: string,
];

export const mutations = (rows: readonly Row[]): readonly Mutation[] =>
  rows.map(([what, circuit, rule, part, net]) => ({ what, circuit, rule, part, net }));

/** The circuit without a part and its pins. */
export function without(ref: string): Circuit {
  return {
    ...CIRCUIT,
    parts: CIRCUIT.parts.filter((part) => part.ref !== ref),
    nets: CIRCUIT.nets.map((net) => ({
      ...net,
      pins: net.pins.filter((pin) => !pin.startsWith(`${ref}.`)),
    })),
  };
}

/** The circuit with one part's data changed. */
export function changed(
  ref: string,
  change: Partial<Ratings> | { place: Part['place'] },
  base: Circuit = CIRCUIT,
): Circuit {
  return {
    ...base,
    parts: base.parts.map((part) => {
      if (part.ref !== ref) return part;
      if ('place' in change) return { ...part, place: change.place };
      // Sound: a change names fields of the part's own kind.
      const ratings = { ...part.ratings, ...change } as Ratings;
      return { ...part, ratings };
    }),
  };
}

/** The circuit with a pin taken to another net. */
export function moved(pin: PinRef, to: string, base: Circuit = CIRCUIT): Circuit {
  return {
    ...base,
    nets: base.nets.map((net) => {
      const rest = net.pins.filter((other) => other !== pin);
      return { ...net, pins: net.name === to ? [...rest, pin] : rest };
    }),
  };
}

export const swapped = (first: PinRef, second: PinRef): Circuit => {
  const netOf = (pin: PinRef): string =>
    CIRCUIT.nets.find((net) => net.pins.includes(pin))?.name ?? '';
  return moved(second, netOf(first), moved(first, netOf(second)));
};

export function rewired(net: string, change: Partial<Wire>, from?: PinRef): Circuit {
  return {
    ...CIRCUIT,
    wires: CIRCUIT.wires.map((wire) =>
      wire.net === net && (from === undefined || wire.from === from)
        ? { ...wire, ...change }
        : wire,
    ),
  };
}

export const extraWire = (wire: Wire): Circuit => ({ ...CIRCUIT, wires: [...CIRCUIT.wires, wire] });
export const cut = (net: string, from: PinRef): Circuit => ({
  ...CIRCUIT,
  wires: CIRCUIT.wires.filter((wire) => !(wire.net === net && wire.from === from)),
});
