/**
 * The whole circuit for the simulator: a node for each pin, each piece of copper and each wire end, so that
 * any joint can be opened and any two pins shorted while it runs.
 */
import { LOADS_SENSE } from '../../shared/board/map';
import { PAD_OHM } from '../checks/outputs';
import { islands } from '../checks/wiring';
import { findPart, splitPin } from '../circuit/circuit';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import type { Circuit, Part, PinRef, RatingsOf } from '../circuit/kinds';
import { BRIDGE, LOGIC } from '../circuit/limits';
import { SECOND_SWITCHES } from '../circuit/second-switches';
import { switchModel } from './models';

/** A joint, a wire, a short: good ones, and what is left of one that is none. */
export const CLOSED_OHM = 1e-3;
export const OPEN_OHM = 1e12;
/** Supply unit and lead. */
const SUPPLY_OHM = 0.1;
/** Start of conduction, and slope, of the chip's own protection diodes (common practice). */
const ESD_MODEL = '.model esd d(is=1e-14 rs=5)';

/** Outputs with a second switch. */
export type SwitchedTwice = keyof typeof SECOND_SWITCHES;
// Sound: the keys of that record.
export const SWITCHED_TWICE = Object.keys(SECOND_SWITCHES) as readonly SwitchedTwice[];

const plain = (name: string): string =>
  name.replaceAll('+', 'p').replaceAll('-', 'm').replace(/\W/g, '_').toLowerCase();

/** Node of a pin, beyond its joint: inside the part. */
export const pinNode = (pin: PinRef): string => `p_${plain(pin)}`;
const PIN_NODE = /\bp_\w+/g;
/** Element that opens a pin's joint. */
export const jointOf = (pin: PinRef): string => `${JOINT}${plain(pin)}`;
const JOINT = 'rj_';
export const wireElement = (id: string): string => `rw_${plain(id)}`;
export const shortElement = (a: PinRef, b: PinRef): string => `rs_${plain(a)}_${plain(b)}`;
export const stuckElement = (pin: PinRef): string => `rh_${plain(pin)}`;
/** What a controller's output pin drives with, ohm to its ground. */
export const padElement = (pin: PinRef): string => `rpad_${plain(pin)}`;

/** The diode through which the pin that looks at the loads would take more than its supply. */
export const SENSE_GUARD = `de_${plain(SENSE_PIN)}`;

type CardsOf = (part: Part, node: (pin: string) => string) => string[];

const of =
  <K extends Part['ratings']['kind']>(
    kind: K,
    cards: (ratings: RatingsOf<K>, part: Part, node: (pin: string) => string) => string[],
  ): CardsOf =>
  (part, node) =>
    // Sound: a kind's ratings are those of its name.
    part.ratings.kind === kind ? cards(part.ratings as RatingsOf<K>, part, node) : [];

const through =
  (ohm: number): CardsOf =>
  (part, node) => {
    const [a = '', b = ''] = Object.keys(part.pins);
    return [`r_${part.ref} ${node(a)} ${node(b)} ${ohm}`];
  };

const CARDS: readonly CardsOf[] = [
  of('resistor', ({ ohm }, part, node) => through(ohm)(part, node)),
  of('thermistor', ({ ohmAt25C }, part, node) => through(ohmAt25C)(part, node)),
  of('fuse', (_, part, node) => through(CLOSED_OHM)(part, node)),
  of('cut-out', (_, part, node) => through(CLOSED_OHM)(part, node)),
  of('lamp', (_, part, node) => through(1000)(part, node)),
  of('diode', ({ style, reverseV, forwardV }, { ref }, node) => [
    `d_${ref} ${node('A')} ${node('K')} dm_${ref}`,
    `.model dm_${ref} d(is=${style === 'schottky' ? '1e-6' : '1e-12'} rs=${forwardV / 100} bv=${reverseV})`,
  ]),
  of('mosfet', (ratings, { ref }, node) => [
    `m_${ref} ${node('D')} ${node('G')} ${node('S')} ${node('S')} mm_${ref}`,
    switchModel(`mm_${ref}`, ratings),
    `i_${ref} ${ratings.channel === 'n' ? `0 ${node('G')}` : `${node('G')} 0`} ${ratings.gateLeakageA}`,
  ]),
  of('bipolar', ({ gainMin }, { ref }, node) => [
    `q_${ref} ${node('C')} ${node('B')} ${node('E')} qm_${ref}`,
    `.model qm_${ref} npn(is=1e-14 bf=${gainMin})`,
  ]),
  of('load-cell', ({ bridgeOhm }, { ref }, node) => [
    `r1_${ref} ${node('E+')} ${node('S+')} ${bridgeOhm}`,
    `r2_${ref} ${node('S+')} ${node('E-')} ${bridgeOhm}`,
    `r3_${ref} ${node('E+')} ${node('S-')} ${bridgeOhm}`,
    `r4_${ref} ${node('S-')} ${node('E-')} ${bridgeOhm}`,
  ]),
];

/** Mat, pump and sounder, each with a meter in its lead; ohms are altered with the rail. */
export const loadElement = (ref: string): string => `rl_${ref.toLowerCase()}`;
export const meterOf = (ref: string): string => `vm_${ref.toLowerCase()}`;

function loadCards(part: Part, node: (pin: string) => string): string[] {
  const [a = '', b = ''] = Object.keys(part.pins);
  return [
    `${meterOf(part.ref)} ${node(a)} n_${part.ref} 0`,
    `${loadElement(part.ref)} n_${part.ref} ${node(b)} 100`,
  ];
}

/** The 5 V converter: its ground runs through, its output follows an input too low for it. */
const converterCards = (node: (pin: string) => string): string[] => [
  `r_a2g ${node('IN-')} ${node('OUT-')} ${CLOSED_OHM}`,
  `r_a2in ${node('IN+')} ${node('IN-')} 600`,
  `b_a2 a2out ${node('OUT-')} v=max(0, min(5, v(${node('IN+')})-v(${node('IN-')})))`,
  `r_a2out a2out ${node('OUT+')} 0.1`,
];

/** The bridge converter as what it draws, and a data line at rest low. */
const bridgeCards = (node: (pin: string) => string): string[] => [
  `r_a3v ${node('VCC')} ${node('GND')} ${LOGIC.nominalV / BRIDGE.supplyA}`,
  `r_a3e ${node('VCC')} ${node('E+')} 10`,
  `r_a3g ${node('GND')} ${node('E-')} ${CLOSED_OHM}`,
  `r_a3d ${node('DT')} ${node('GND')} 1000`,
  `r_a3c ${node('SCK')} ${node('GND')} 1e6`,
  `r_a3p ${node('A+')} ${node('GND')} 1e7`,
  `r_a3m ${node('A-')} ${node('GND')} 1e7`,
];

/** What the controller board itself draws, as a resistor; altered with the case. */
export const CONTROLLER_LOAD = 'r_a1load';

/**
 * The controller board: a load on VSYS, a regulator that passes what it cannot regulate, pads with their
 * resistance and protection diodes. Its grounds are one copper, `a1g`.
 */
function controllerCards(part: Part, node: (pin: string) => string): string[] {
  const pads = Object.entries(part.pins).flatMap(([pin, role]) => {
    const ref: PinRef = `${part.ref}.${pin}`;
    const guard = [
      `de_${plain(pin)} ${node(pin)} a1v esd`,
      `df_${plain(pin)} a1g ${node(pin)} esd`,
    ];
    if (role === 'ground') return [`rg_${plain(pin)} ${node(pin)} a1g ${CLOSED_OHM}`];
    if (role === 'output') {
      return [
        ...guard,
        `${padElement(ref)} ${node(pin)} a1g ${PAD_OHM}`,
        `${stuckElement(ref)} ${node(pin)} a1v ${OPEN_OHM}`,
        `ip_${plain(pin)} a1v ${node(pin)} ${LOGIC.leakageA}`,
      ];
    }
    if (role === 'input' || role === 'analog') {
      const pullOhm = pin === SENSE_PIN ? LOADS_SENSE.padPullOhm : 1e7;
      return [...guard, `ri_${plain(pin)} ${node(pin)} a1g ${pullOhm}`];
    }
    return [];
  });
  return [
    `${CONTROLLER_LOAD} ${node('VSYS')} a1g 100`,
    `b_a1 ${node('VSYS')} a1v v=max(0, v(${node('VSYS')})-v(a1g)-${LOGIC.nominalV})`,
    `r_a1v a1v ${node('3V3')} 0.1`,
    `r_a1ref a1v ${node('ADC_VREF')} 200`,
    ...pads,
    ESD_MODEL,
  ];
}

function partCards(part: Part): string[] {
  const node = (pin: string): string => pinNode(`${part.ref}.${pin}`);
  if (part.ratings.kind === 'load') return loadCards(part, node);
  if (part.ref === 'A1') return controllerCards(part, node);
  if (part.ref === 'A2') return converterCards(node);
  if (part.ref === 'A3') return bridgeCards(node);
  return CARDS.flatMap((cards) => cards(part, node));
}

/** Joints of all pins to their copper, and the wires between. */
function copperCards(circuit: Circuit): string[] {
  const bare: Circuit = { ...circuit, wires: [] };
  const copperOf = new Map<PinRef, string>();
  const joints = circuit.nets.flatMap((net) =>
    islands(bare, net).flatMap((pins, i) =>
      pins.map((pin) => {
        const copper = `c_${plain(net.name)}_${i}`;
        copperOf.set(pin, copper);
        return `${jointOf(pin)} ${pinNode(pin)} ${copper} ${CLOSED_OHM}`;
      }),
    ),
  );
  // A wire is clamped in its terminal, beyond the joint that leads on from there; elsewhere it is soldered.
  const endOf = (pin: PinRef): string => {
    const part = findPart(circuit, splitPin(pin).ref);
    const clamped = part?.ratings.kind === 'connector' && part.place !== 'panel';
    return clamped ? pinNode(pin) : (copperOf.get(pin) ?? '0');
  };
  const wires = circuit.wires.map(
    (wire) => `${wireElement(wire.id)} ${endOf(wire.from)} ${endOf(wire.to)} ${CLOSED_OHM}`,
  );
  return [...joints, ...wires];
}

/** Altered while an output is on: what drives its pin high, and what a pin that toggles keeps in the hold capacitor. */
export const driverElement = (output: SwitchedTwice): string => `r_on_${output}`;
export const closerElement = (output: SwitchedTwice): string => `r_closer_${output}`;
/** In the hold capacitor while the pin toggles, V (simulated: `chargePumpDeck`). */
const HELD_V = 2;

/** All open: a direct current analysis sees nothing of a pin that toggles. */
const onCards = (circuit: Circuit): string[] => [
  `v_held n_held a1g ${HELD_V}`,
  ...SWITCHED_TWICE.flatMap((output) => {
    const { hold } = SECOND_SWITCHES[output].refs;
    return [
      `${driverElement(output)} a1v ${pinNode(outputPin(output))} ${OPEN_OHM}`,
      ...(findPart(circuit, hold) === undefined
        ? []
        : [`${closerElement(output)} n_held ${pinNode(`${hold}.1`)} ${OPEN_OHM}`]),
    ];
  }),
];

/** The supply's element; its voltage is altered with the case. */
export const SUPPLY = 'vin';

/** Cards of the whole circuit, every output told to be off. Ground of the simulator is the supply's minus. */
export function wholeCircuit(
  circuit: Circuit,
  shorts: readonly (readonly [PinRef, PinRef])[],
): string[] {
  const plus = pinNode('J1.+');
  return [
    `${SUPPLY} sup 0 24`,
    `r_sup sup ${plus} ${SUPPLY_OHM}`,
    `r_ret ${pinNode('J1.-')} 0 ${CLOSED_OHM}`,
    ...copperCards(circuit),
    ...circuit.parts.flatMap(partCards),
    ...onCards(circuit),
    ...shorts.map(([a, b]) => `${shortElement(a, b)} ${pinNode(a)} ${pinNode(b)} ${OPEN_OHM}`),
    // `rshunt` gives a level to what a fault cuts off from everything: far below the leakage of any part.
    '.options gmin=1e-12 rshunt=1e10',
  ];
}

/** Controller's pin of an output as the netlist has it. */
export const outputPin = (name: Parameters<typeof boardPin>[0]): PinRef => `A1.${boardPin(name)}`;

/**
 * The same circuit with every joint but these made one with its copper: half as many nodes, and half the time to solve
 * it.
 */
export function soldered(cards: readonly string[], opened: readonly PinRef[]): string[] {
  const loose = new Set(opened.map(jointOf));
  const copperOf = new Map<string, string>();
  const kept = cards.filter((card) => {
    const [element = '', node = '', copper = ''] = card.split(' ');
    if (!element.startsWith(JOINT) || loose.has(element)) return true;
    copperOf.set(node, copper);
    return false;
  });
  return kept.map((card) => card.replace(PIN_NODE, (node) => copperOf.get(node) ?? node));
}
