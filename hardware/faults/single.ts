/**
 * Every single fault of the circuit: a wire that breaks, a joint that lets go, a part that fails closed.
 * What each does to mat and pump is tried by simulation (`try.ts`).
 */
import { BOARDS } from '../circuit/boards';
import { splitPin } from '../circuit/circuit';
import { BOARD_POSITIONS } from '../circuit/controller';
import type { Circuit, Part, PinRef } from '../circuit/kinds';
import { poleStrips } from '../circuit/strips';

/** Parts with more pins than this fail between neighbours only. */
const ALL_PAIRS_UP_TO = 4;
/** The two sides of the controller board are twenty pins each. */
const PINS_A_SIDE = 20;

export type Fault =
  | { readonly kind: 'wire-open'; readonly wire: string }
  /** One joint of a part, or the part itself, lets nothing through any more. */
  | { readonly kind: 'pin-open'; readonly pin: PinRef }
  | { readonly kind: 'pins-shorted'; readonly pins: readonly [PinRef, PinRef] }
  /** The driver of a controller's output fails towards its supply. */
  | { readonly kind: 'stuck-high'; readonly pin: PinRef };

/** Parts that end where they stand: nothing goes on from a test pin. */
const isDeadEnd = (part: Part): boolean => part.ratings.kind === 'test-point';

/** Pins side by side: on the controller board by position, at terminals by strip, else as they are listed. */
function neighbours(circuit: Circuit, part: Part): (readonly [string, string])[] {
  const { ref } = part;
  const plan = BOARDS.find(({ terminals }) => terminals === ref);
  if (plan !== undefined) {
    return (['left', 'right'] as const).flatMap((edge) => {
      const strips = [...poleStrips(circuit, plan, edge)].sort(([, a], [, b]) => a - b);
      return inRow(strips).flatMap(([[a, above], [b, below]]) =>
        below === above + 1 ? [[a, b] as const] : [],
      );
    });
  }
  const names = Object.keys(part.pins);
  if (ref !== 'A1') return inRow(names);
  const placed = names.flatMap((name) => {
    const position = BOARD_POSITIONS[name];
    return position === undefined ? [] : [{ name, position }];
  });
  return placed.flatMap((a) =>
    placed
      .filter((b) => b.position === a.position + 1 && a.position !== PINS_A_SIDE)
      .map((b) => [a.name, b.name] as const),
  );
}

function inRow<T>(all: readonly T[]): (readonly [T, T])[] {
  return all.slice(1).map((one, i) => [all[i] ?? one, one] as const);
}

function pairs(circuit: Circuit, part: Part): (readonly [string, string])[] {
  const names = Object.keys(part.pins);
  if (names.length > ALL_PAIRS_UP_TO) return neighbours(circuit, part);
  return names.flatMap((a, i) => names.slice(i + 1).map((b) => [a, b] as const));
}

function faultsOf(circuit: Circuit, part: Part): Fault[] {
  if (isDeadEnd(part)) return [];
  const ref = (pin: string): PinRef => `${part.ref}.${pin}`;
  const names = Object.keys(part.pins);
  // Of two pins in series either one opens the part.
  const opened = names.length === 2 ? names.slice(0, 1) : names;
  return [
    ...opened.map((pin): Fault => ({ kind: 'pin-open', pin: ref(pin) })),
    ...pairs(circuit, part).map(
      ([a, b]): Fault => ({ kind: 'pins-shorted', pins: [ref(a), ref(b)] }),
    ),
    ...names
      .filter((pin) => part.pins[pin] === 'output' && part.ref === 'A1')
      .map((pin): Fault => ({ kind: 'stuck-high', pin: ref(pin) })),
  ];
}

/** All of them, wires first. */
export function singleFaults(circuit: Circuit): Fault[] {
  return [
    ...circuit.wires.map((wire): Fault => ({ kind: 'wire-open', wire: wire.id })),
    ...circuit.parts.flatMap((part) => faultsOf(circuit, part)),
  ];
}

/** Pins that the faults short: elements that the simulated circuit must have. */
export const shortsOf = (faults: readonly Fault[]): (readonly [PinRef, PinRef])[] =>
  faults.flatMap((fault) => (fault.kind === 'pins-shorted' ? [fault.pins] : []));

/** Pins whose joints the faults open: the simulated circuit must have these joints. */
export const openedBy = (faults: readonly Fault[]): PinRef[] =>
  faults.flatMap((fault) => (fault.kind === 'pin-open' ? [fault.pin] : []));

/** A fault in words: `W11 broken`, `Q1 D to S shorted`. */
export function faultWords(fault: Fault): string {
  switch (fault.kind) {
    case 'wire-open':
      return `${fault.wire} broken`;
    case 'pin-open':
      return `${fault.pin.replace('.', ' ')} open`;
    case 'pins-shorted': {
      const [a, b] = fault.pins.map(splitPin);
      return `${a?.ref} ${a?.pin} to ${b?.pin} shorted`;
    }
    case 'stuck-high':
      return `${fault.pin.replace('.', ' ')} stuck high`;
  }
}
