/** Rules about parts that have a right way round, and about the values they must have. */
import { netsOf, partsOf } from '../circuit/circuit';
import type { Circuit, Net } from '../circuit/kinds';
import { LOGIC, MARGIN, RAIL } from '../circuit/limits';
import { railCurrentA } from './outputs';
import { isGround, neighbours } from './paths';
import type { Finding, Rule } from './rule';

/** Gates of the P-channel switches, and what pulls at one: near the rail at rest. */
const RAIL_GATES: readonly string[] = ['REVERSE_GATE', 'FEED_GATE', 'FEED_PULL'];

/** Highest steady voltage, V, on a net, by its use. */
export function highestV(net: Net): number {
  switch (net.use) {
    case 'feed':
    case 'switched':
      return RAIL.maxV;
    case 'gate':
      return RAIL_GATES.includes(net.name) ? RAIL.maxV : LOGIC.nominalV;
    case 'five-volt':
      return FIVE_VOLT_MAX_V;
    case 'ground':
    case 'quiet-ground':
      return 0;
    default:
      return LOGIC.nominalV * (1 + LOGIC.tolerance);
  }
}

/** The 5 V rail at its upper tolerance, USB's too (USB 2.0, 7.2.2). */
export const FIVE_VOLT_MAX_V = 5.25;

/** Its plus and minus, by the names of its pins. */
const ENDS: readonly (readonly [string, string])[] = [
  ['+', '-'],
  ['IN+', 'IN-'],
];

/** A lamp whose cathode is not on ground stays dark. */
function darkLamps(circuit: Circuit): Finding[] {
  return partsOf(circuit, 'lamp').flatMap((lamp) => {
    const cathode = netsOf(circuit, lamp).get('K');
    if (cathode === undefined || isGround(circuit, cathode.name)) return [];
    return [{ part: lamp.ref, net: cathode.name, why: 'its cathode is not on ground.' }];
  });
}

export const rightWayRound: Rule = {
  id: 'right-way-round',
  statement:
    'Every part marked with plus and minus has its minus on ground, or on the switched side of its load, and its plus on what feeds it; a lamp has its cathode on ground.',
  source: 'capacitor and sounder data sheets: reversed, an electrolytic capacitor bursts',
  check(circuit) {
    const findings: Finding[] = darkLamps(circuit);
    for (const part of circuit.parts) {
      for (const [plus, minus] of ENDS) {
        const high = netsOf(circuit, part).get(plus);
        const low = netsOf(circuit, part).get(minus);
        if (high === undefined || low === undefined || part.ratings.kind === 'load-cell') continue;
        const fed = ['feed', 'five-volt', 'logic-supply'].includes(high.use);
        const back = isGround(circuit, low.name) || low.use === 'switched';
        if (fed && back) continue;
        const why = `its plus is on ${high.name} and its minus on ${low.name}: it is the wrong way round.`;
        findings.push({ part: part.ref, net: high.name, why });
      }
    }
    return findings;
  },
};

/** What the controller draws through the diode in its feed, A, with USB out (hardware/budget/supply.ts). */
const BOARD_FEED_A = 0.15;
/** Lowest VSYS of RP2040 boards whose regulator must keep 3.3 V, V (board data sheets: 1.8 to 5.5; below 3.6 it falls). */
const BOARD_FEED_MIN_V = 3.6;

export const feedDiode: Rule = {
  id: 'feed-diode',
  statement: `Between 5 V and the controller is a diode towards the controller, for ${BOARD_FEED_A} A with half in hand, against USB on its far side, that leaves it ${BOARD_FEED_MIN_V} V.`,
  source: 'RP2040 board data sheets: VSYS from two sources by a Schottky diode; USB 2.0, 7.2.2',
  check(circuit) {
    const diode = partsOf(circuit, 'diode').find((part) => {
      const nets = netsOf(circuit, part);
      return nets.get('A')?.name === 'FIVE_VOLT' && nets.get('K')?.name === 'BOARD_FEED';
    });
    if (diode === undefined) {
      const why =
        'no diode leads from FIVE_VOLT to the controller: nothing feeds it, or USB feeds 5 V.';
      return [{ part: 'A1', net: 'BOARD_FEED', why }];
    }
    const { ratedA, reverseV, forwardV } = diode.ratings;
    const faults = [
      ratedA < 1.5 * BOARD_FEED_A ? `it is rated ${ratedA} A for ${BOARD_FEED_A} A.` : null,
      reverseV < FIVE_VOLT_MAX_V * MARGIN.voltage
        ? `rated ${reverseV} V against the ${FIVE_VOLT_MAX_V} V of USB.`
        : null,
      4.9 - forwardV < BOARD_FEED_MIN_V ? `it drops ${forwardV} V of 4.9 V.` : null,
    ];
    return faults
      .filter((why) => why !== null)
      .map((why) => ({ part: diode.ref, net: 'BOARD_FEED', why }));
  },
};

/** What a net needs in capacitors, and why. */
interface Stored {
  readonly net: string;
  readonly dielectric: 'electrolytic' | 'X7R ceramic';
  readonly minF: (circuit: Circuit) => number;
  readonly maxF: number;
  /** A rail without it is no rail; a motor without it still turns. */
  readonly why: string;
}

const BULK_F_PER_A = 100e-6;

const STORES: readonly Stored[] = [
  {
    net: 'RAIL',
    dielectric: 'electrolytic',
    minF: (circuit) => BULK_F_PER_A * railCurrentA(circuit),
    // Plugging in must not weld the inlet: 26 V over 0.3 Ω, 1 ms.
    maxF: 2200e-6,
    why: '100 µF for each ampere that is switched',
  },
  {
    net: 'SCALE_SUPPLY',
    dielectric: 'electrolytic',
    minF: () => 4.7e-6,
    maxF: 100e-6,
    why: 'with its resistor it keeps ripple of the 3.3 V from the bridge',
  },
  {
    net: 'SCALE_SUPPLY',
    dielectric: 'X7R ceramic',
    minF: () => 47e-9,
    maxF: 1e-6,
    why: 'beside the converter, for its fast edges',
  },
  {
    net: 'PUMP_LOW',
    dielectric: 'X7R ceramic',
    minF: () => 10e-9,
    maxF: 470e-9,
    why: 'across the motor, against its sparks; more would be a surge at every switching on',
  },
];

const microfarad = (farad: number): string => `${Number((farad * 1e6).toPrecision(2))} µF`;

export const stores: Rule = {
  id: 'stores',
  statement:
    'Rail, bridge and motor each have the capacitor they need: enough to hold, not so much that it strikes.',
  source: 'common practice: 100 µF an ampere, 0.1 µF beside each converter and across each motor',
  check(circuit) {
    return STORES.flatMap(({ net, dielectric, minF, maxF, why }) => {
      const there = partsOf(circuit, 'capacitor').filter(
        (part) =>
          part.ratings.dielectric === dielectric &&
          [...netsOf(circuit, part).values()].some(({ name }) => name === net),
      );
      const farad = there.reduce((sum, part) => sum + part.ratings.farad, 0);
      if (farad >= minF(circuit) && farad <= maxF) return [];
      return [
        {
          part: there[0]?.ref ?? '(capacitor)',
          net,
          why: `${microfarad(farad)} of ${dielectric}, where ${microfarad(minF(circuit))} to ${microfarad(maxF)} are wanted: ${why}.`,
        },
      ];
    });
  },
};

/** A pull that is stronger than this no output overcomes; weaker, and leakage decides. */
const PULL_OHM = { min: 1000, max: 220_000 } as const;

export const pulls: Rule = {
  id: 'pulls',
  statement: `A resistor that gives a logic line its level has ${PULL_OHM.min / 1000} to ${PULL_OHM.max / 1000} kΩ.`,
  source: 'RP2040 data sheet: 4 mA of drive, 1 µA of leakage',
  check(circuit) {
    return circuit.nets
      .filter(({ use }) => use === 'logic')
      .flatMap((net) =>
        neighbours(circuit, net.name).flatMap(({ part, net: to }) => {
          const held = isGround(circuit, to) || to === 'LOGIC_SUPPLY';
          if (part.ratings.kind !== 'resistor' || !held) return [];
          const { ohm } = part.ratings;
          if (ohm >= PULL_OHM.min && ohm <= PULL_OHM.max) return [];
          return [{ part: part.ref, net: net.name, why: `it pulls with ${ohm} Ω.` }];
        }),
      );
  },
};
