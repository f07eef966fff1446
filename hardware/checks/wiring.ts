/** Rules about wires: they make the netlist, keep load currents away from the senses, and cannot be mistaken. */
import { findNet, findPart, netOf, partsOf, splitPin } from '../circuit/circuit';
import {
  type Circuit,
  COLOURS,
  ELECTRONICS_PLACES,
  type Net,
  type PinRef,
  type Place,
  type Wire,
} from '../circuit/kinds';
import { groundEdges, groundPath, groundRings, pathAmong } from './grounding';
import { commanded, loadOf } from './outputs';
import type { Finding, Rule } from './rule';

/** Places whose own copper joins what is on one net there; the pump's capacitor sits on its lugs. */
const COPPER_PLACES: readonly Place[] = [...ELECTRONICS_PLACES, 'reservoir'];

/** Pins of `net` in groups that copper and wires join; one group when the net is whole. */
export function islands(circuit: Circuit, net: Net): PinRef[][] {
  const groups = net.pins.map((pin) => [pin]);
  const placeOf = (pin: PinRef): string => {
    const part = findPart(circuit, splitPin(pin).ref);
    return part !== undefined && COPPER_PLACES.includes(part.place)
      ? part.place
      : splitPin(pin).ref;
  };
  const join = (a: PinRef, b: PinRef): void => {
    const first = groups.find((group) => group.includes(a));
    const second = groups.find((group) => group.includes(b));
    if (first === undefined || second === undefined || first === second) return;
    first.push(...second);
    groups.splice(groups.indexOf(second), 1);
  };
  for (const a of net.pins) {
    for (const b of net.pins) if (placeOf(a) === placeOf(b)) join(a, b);
  }
  for (const wire of circuit.wires) if (wire.net === net.name) join(wire.from, wire.to);
  return groups;
}

export const wiresMakeNets: Rule = {
  id: 'wires-make-nets',
  statement:
    'The wires, with the copper of each board, join every net completely and join nothing else.',
  source: 'the wiring picture and the schematic must be one circuit',
  check(circuit) {
    const findings: Finding[] = [];
    for (const wire of circuit.wires) {
      for (const end of [wire.from, wire.to]) {
        const net = netOf(circuit, end);
        if (net?.name !== wire.net) {
          findings.push({
            part: wire.id,
            net: wire.net,
            why: `it ends on ${end}, which is on net ${net?.name ?? '(none)'}.`,
          });
        }
      }
    }
    for (const net of circuit.nets) {
      const groups = islands(circuit, net);
      const lost = groups[1]?.[0];
      if (lost !== undefined) {
        findings.push({
          part: splitPin(lost).ref,
          net: net.name,
          why: `no wire joins ${lost} to ${groups[0]?.[0] ?? 'the rest'}.`,
        });
      }
    }
    return findings;
  },
};

export const groundTree: Rule = {
  id: 'ground-tree',
  statement:
    'But for the second ground of the controller, the ground wires make a tree: every board reaches the inlet by one way and no ring is closed.',
  source: 'common practice of star grounding',
  check(circuit) {
    const seconds = secondGrounds(circuit);
    const [, ...spare] = seconds;
    const tree = circuit.wires.filter((wire) => !seconds.includes(wire));
    const rings = [...groundRings({ ...circuit, wires: tree }), ...spare].map((wire) => ({
      part: wire.id,
      net: wire.net,
      why: 'it closes a ring of ground.',
    }));
    const lost = (['power-board', 'controller', 'signal-board', 'bridge-module'] as const)
      .filter((place) => groundPath(circuit, place, 'panel') === null)
      .map((place) => ({
        part: place,
        net: 'GROUND',
        why: 'its ground does not reach the inlet.',
      }));
    return [...rings, ...lost];
  },
};

/** Ground wires that join the controller straight to the power board, past the 5 V converter. */
const secondGrounds = (circuit: Circuit): Wire[] =>
  groundEdges(circuit)
    .filter(({ a, b }) => {
      const ends = [a, b];
      return ends.includes('controller') && ends.includes('power-board:GROUND');
    })
    .map(({ wire }) => wire);

/** Boards whose ground, when it floats, lifts the gates of the power board. */
const MUST_STAY_GROUNDED: readonly Place[] = ['controller', 'five-volt'];

export const twoGrounds: Rule = {
  id: 'two-grounds',
  statement:
    'Controller and 5 V converter reach the ground of the power board by two ways that share no wire and no terminal.',
  source:
    'IEC 60730-1 annex H: a single fault ends in the safe state; simulated: without ground the pins rise and mat and pump come on',
  check(circuit) {
    const edges = groundEdges(circuit);
    const poles = new Set(edges.flatMap(({ wire }) => [wire.from, wire.to]));
    return MUST_STAY_GROUNDED.flatMap((place) => {
      const alone = [...poles].filter((pole) => {
        const left = edges.filter(({ wire }) => wire.from !== pole && wire.to !== pole);
        return pathAmong(left, place, 'power-board') === null;
      });
      return alone.map((pole) => ({
        part: circuit.wires.find(({ from, to }) => from === pole || to === pole)?.id ?? '(none)',
        net: 'GROUND',
        why: `loose at ${pole} or broken, it takes the ${place}'s only ground along, and the outputs come on.`,
      }));
    });
  },
};

export const quietGround: Rule = {
  id: 'quiet-ground',
  statement:
    'No wire that returns mat, pump or sounder current is on the ground path of the probes or the bridge to the controller.',
  source: 'common practice: 3 A in 20 mΩ of shared ground would be 60 mV, 1.6 K at the ADC',
  check(circuit) {
    const quiet = [
      ...(groundPath(circuit, 'signal-board', 'controller') ?? []),
      ...(groundPath(circuit, 'bridge-module', 'controller') ?? []),
      ...(groundPath(circuit, 'tray', 'controller') ?? []),
      ...(groundPath(circuit, 'mat', 'controller') ?? []),
    ];
    return commanded(circuit).flatMap((part) => {
      const loud = groundPath(circuit, part.place, 'panel') ?? [];
      return loud
        .filter((wire) => quiet.includes(wire))
        .map((wire) => ({
          part: wire.id,
          net: wire.net,
          why: `it carries the current of ${loadOf(circuit, part)?.ref ?? part.ref} and the ground of the senses.`,
        }));
    });
  },
};

export const keyedPlugs: Rule = {
  id: 'keyed-plugs',
  statement: 'No two plugs of the box are of one family: nothing fits where it does harm.',
  source: 'common practice',
  check(circuit) {
    const plugs = partsOf(circuit, 'connector').filter((part) => part.ratings.family !== 'screw');
    return plugs
      .filter((plug, index) =>
        plugs.slice(0, index).some((other) => other.ratings.family === plug.ratings.family),
      )
      .map((plug) => ({
        part: plug.ref,
        net: netOf(circuit, `${plug.ref}.${Object.keys(plug.pins)[0] ?? ''}`)?.name ?? '(none)',
        why: `its family ${plug.ratings.family} is used by another plug.`,
      }));
  },
};

export const wireColours: Rule = {
  id: 'wire-colours',
  statement: 'Ground is black and black is ground; red is supply and bridge excitation only.',
  source: 'IEC 60445 (green-and-yellow is left to protective earth); IEC 60757 letters',
  check(circuit) {
    const findings: Finding[] = [];
    for (const wire of circuit.wires) {
      const use = findNet(circuit, wire.net)?.use;
      const ground = use === 'ground' || use === 'quiet-ground';
      if ((wire.colour === 'BK') !== ground) {
        findings.push({
          part: wire.id,
          net: wire.net,
          why: `${COLOURS[wire.colour]} ${ground ? 'is not' : 'is'} the colour of ground.`,
        });
      }
      if (wire.colour === 'RD' && use !== 'feed' && wire.net !== 'BRIDGE_PLUS') {
        findings.push({ part: wire.id, net: wire.net, why: 'red is the colour of the supply.' });
      }
    }
    return findings;
  },
};
