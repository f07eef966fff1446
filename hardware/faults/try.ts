/** Tries every single fault in the simulator and tells which leave mat or pump on. Host side only. */
import { PAD_OHM } from '../checks/outputs';
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { LOGIC } from '../circuit/limits';
import { simulate } from '../spice/run';
import {
  CLOSED_OHM,
  CONTROLLER_LOAD,
  FEED_CLOSER,
  HEAT_DRIVER,
  jointOf,
  loadElement,
  meterOf,
  OPEN_OHM,
  outputPin,
  padElement,
  SUPPLY,
  shortElement,
  stuckElement,
  wholeCircuit,
  wireElement,
} from '../spice/whole';
import { type Fault, faultWords, singleFaults } from './single';

/** Outputs that can hurt. The sounder is not one: what sounds without reason is looked at. */
export const WATCHED = { mat: 'HM1', pump: 'M1' } as const;
export type Watched = keyof typeof WATCHED;
const WATCHED_NAMES = Object.keys(WATCHED) as readonly Watched[];

/** Above this share of its rated current an output counts as on: a mat gives a hundredth of a hundredth of its heat. */
export const ON_SHARE = 0.01;

/** The controller as it may be when the fault comes. */
interface Case {
  readonly words: string;
  readonly railV: number;
  /** What the controller board draws, A at 5 V. */
  readonly controllerA: number;
  /** What holds its outputs low, ohm. */
  readonly padOhm: number;
  /** The mat heats, and for that the second switch is closed: for the pump as well. */
  readonly heating: boolean;
}

/** A driver told "low", and the pad's own pull-down while the chip is in reset. */
const PADS = { 'told off': PAD_OHM, 'in reset': LOGIC.padPullMaxOhm } as const;
const CONTROLLER_AMPS = [0.02, 0.09] as const;
const RAILS_V = [12, 24] as const;

const OFF_CASES: readonly Case[] = RAILS_V.flatMap((railV) =>
  CONTROLLER_AMPS.flatMap((controllerA) =>
    Object.entries(PADS).map(([state, padOhm]) => ({
      words: `${railV} V, controller ${state} and drawing ${controllerA * 1e3} mA`,
      railV,
      controllerA,
      padOhm,
      heating: false,
    })),
  ),
);
const HEATING_CASES: readonly Case[] = RAILS_V.map((railV) => ({
  words: `${railV} V, the mat heats`,
  railV,
  controllerA: CONTROLLER_AMPS[1],
  padOhm: PAD_OHM,
  heating: true,
}));
const CASES: readonly Case[] = [...OFF_CASES, ...HEATING_CASES];
/** What has no reason to be on in a case. */
const mustBeOff = ({ heating }: Case, output: Watched): boolean => !(heating && output === 'mat');

/** The element a fault alters, and to what. */
function altered(fault: Fault): {
  readonly element: string;
  readonly bad: number;
  readonly good: number;
} {
  switch (fault.kind) {
    case 'wire-open':
      return { element: wireElement(fault.wire), bad: OPEN_OHM, good: CLOSED_OHM };
    case 'pin-open':
      return { element: jointOf(fault.pin), bad: OPEN_OHM, good: CLOSED_OHM };
    case 'pins-shorted':
      return { element: shortElement(...fault.pins), bad: CLOSED_OHM, good: OPEN_OHM };
    case 'stuck-high':
      return { element: stuckElement(fault.pin), bad: PAD_OHM, good: OPEN_OHM };
  }
}

function ratedA(circuit: Circuit, ref: string): number {
  const part = findPart(circuit, ref);
  return part !== undefined && isKind(part, 'load') ? part.ratings.ratedA : Number.NaN;
}

interface LeftOn {
  readonly output: Watched;
  readonly amps: number;
  readonly when: string;
}

/** What a fault did in the worst case. */
export interface Trial {
  readonly fault: Fault;
  /** Outputs left on with nothing leased, each with its current, A, and the case. */
  readonly leftOn: readonly LeftOn[];
  /** The pump, with the mat heating. */
  readonly whileHeating: readonly LeftOn[];
}

const caseCommands = (
  circuit: Circuit,
  { railV, controllerA, padOhm, heating }: Case,
): string[] => [
  `alter ${SUPPLY} dc = ${railV}`,
  `alter ${CONTROLLER_LOAD} = ${5 / controllerA}`,
  ...(['mat', 'pump', 'sounder', 'feed'] as const).map(
    (name) =>
      `alter ${padElement(outputPin(name))} = ${heating && name === 'mat' ? OPEN_OHM : padOhm}`,
  ),
  `alter ${HEAT_DRIVER} = ${heating ? PAD_OHM : OPEN_OHM}`,
  ...(findPart(circuit, 'C9') === undefined
    ? []
    : [`alter ${FEED_CLOSER} = ${heating ? CLOSER_OHM : OPEN_OHM}`]),
  ...[...Object.values(WATCHED), 'LS1'].map(
    (ref) => `alter ${loadElement(ref)} = ${(ref === 'LS1' ? 5 : railV) / ratedA(circuit, ref)}`,
  ),
];

/** Like the charge that a toggling pin brings: enough for the switch, not for a short beside it. */
const CLOSER_OHM = 1000;

const measured = (tag: string): string[] => [
  'op',
  ...WATCHED_NAMES.flatMap((output) => [
    `let ${output} = i(${meterOf(WATCHED[output])})`,
    `echo ${output}_${tag} = $&${output}`,
  ]),
  'destroy all',
];

/** Throws when a command would alter what the circuit does not have: that fault would seem to do nothing. */
function checkElements(cards: readonly string[], commands: readonly string[]): void {
  const defined = new Set(cards.map((card) => card.split(' ', 1)[0]?.toLowerCase()));
  for (const command of commands) {
    const [word, element = ''] = command.split(' ');
    if (word === 'alter' && !defined.has(element)) {
      throw new Error(`the simulated circuit has no ${element}`);
    }
  }
}

function deck(circuit: Circuit, faults: readonly Fault[]): string {
  const shorts = faults.flatMap((fault) => (fault.kind === 'pins-shorted' ? [fault.pins] : []));
  const commands = CASES.flatMap((one, c) => [
    ...caseCommands(circuit, one),
    ...measured(`sound_${c}`),
    ...faults.flatMap((fault, f) => {
      const { element, bad, good } = altered(fault);
      return [`alter ${element} = ${bad}`, ...measured(`${f}_${c}`), `alter ${element} = ${good}`];
    }),
  ]);
  const cards = wholeCircuit(circuit, shorts);
  checkElements(cards, commands);
  return [
    '* every single fault of the circuit, one after the other',
    ...cards,
    '.control',
    ...commands,
    'quit',
    '.endc',
    '.end',
    '',
  ].join('\n');
}

/**
 * Every single fault of `circuit` in every case. Throws where the simulator found no answer: a fault that was
 * not tried is not a fault that did nothing.
 */
export function tryFaults(
  circuit: Circuit,
  faults: readonly Fault[] = singleFaults(circuit),
): Trial[] {
  const values = simulate(deck(circuit, faults));
  const ampsOf = (output: Watched, tag: string): number => {
    const amps = values.get(`${output}_${tag}`);
    if (amps === undefined || Number.isNaN(amps))
      throw new Error(`ngspice gave no ${output}_${tag}`);
    return Math.abs(amps);
  };
  const isOn = (output: Watched, amps: number): boolean =>
    amps > ON_SHARE * ratedA(circuit, WATCHED[output]);
  CASES.forEach((one, c) => {
    for (const output of WATCHED_NAMES) {
      const amps = ampsOf(output, `sound_${c}`);
      if (isOn(output, amps) === mustBeOff(one, output)) {
        throw new Error(`the sound circuit has ${amps} A in its ${output} (${one.words})`);
      }
    }
  });
  const worstOf = (fault: number, cases: readonly Case[]): LeftOn[] =>
    WATCHED_NAMES.flatMap((output) => {
      const worst = CASES.flatMap((one, c) =>
        cases.includes(one) && mustBeOff(one, output)
          ? [{ output, amps: ampsOf(output, `${fault}_${c}`), when: one.words }]
          : [],
      ).sort((a, b) => b.amps - a.amps)[0];
      return worst === undefined || !isOn(output, worst.amps) ? [] : [worst];
    });
  return faults.map((fault, f) => ({
    fault,
    leftOn: worstOf(f, OFF_CASES),
    whileHeating: worstOf(f, HEATING_CASES),
  }));
}

const KINDS: Readonly<Record<Fault['kind'], string>> = {
  'wire-open': 'wires broken',
  'pin-open': 'parts and joints open',
  'pins-shorted': 'parts and neighbours shorted',
  'stuck-high': 'pins of the controller stuck high',
};

/** What was tried, and what it left on, as lines of text. */
export function faultTable(trials: readonly Trial[]): string {
  const rows = Object.entries(KINDS).map(([kind, words]) => {
    const mine = trials.filter(({ fault }) => fault.kind === kind);
    const bad = mine.filter(({ leftOn }) => leftOn.length > 0);
    const names = bad.map(
      ({ fault, leftOn }) =>
        `${faultWords(fault)} (${leftOn.map(({ output }) => output).join(', ')})`,
    );
    return `  ${words.padEnd(36)} ${String(mine.length).padStart(4)} tried  ${bad.length} left on${names.length === 0 ? '' : `: ${names.join('; ')}`}`;
  });
  const heating = trials.filter(({ whileHeating }) => whileHeating.length > 0);
  return [
    `each in ${OFF_CASES.length} cases: ${RAILS_V.join(' and ')} V, controller told off or in reset, drawing little or much`,
    ...rows,
    `  with the mat heating, the pump runs on ${heating.length}: ${heating.map(({ fault }) => faultWords(fault)).join('; ')}`,
  ].join('\n');
}
