/** Tries every single fault in the simulator and tells which leave mat or pump on. Host side only. */
import type { Circuit } from '../circuit/kinds';
import { simulate } from '../spice/run';
import { meterOf, SENSE_GUARD, soldered, wholeCircuit } from '../spice/whole';
import {
  type Case,
  CLOSED_CASES,
  caseCommands,
  checkElements,
  faultCommands,
  LEASED_CASES,
  mustBeOff,
  OFF_CASES,
  RAILS_V,
  ratedA,
  WATCHED,
  type Watched,
} from './cases';
import { type Fault, faultWords, openedBy, shortsOf, singleFaults } from './single';

const WATCHED_NAMES = Object.keys(WATCHED) as readonly Watched[];

/** Above this share of its rated current an output counts as on: a mat gives a hundredth of a hundredth of its heat. */
export const ON_SHARE = 0.01;

/** Every fault adds its joint or its short to the circuit of its deck, which is solved again for each of them. */
const FAULTS_A_DECK = 64;

/** In these nothing may be on but what is asked for. */
const JUDGED_CASES: readonly Case[] = [...OFF_CASES, ...LEASED_CASES];
const CASES: readonly Case[] = [...JUDGED_CASES, ...CLOSED_CASES];

interface LeftOn {
  readonly output: Watched;
  readonly amps: number;
  readonly when: string;
}

/** What a fault did in the worst case. */
export interface Trial {
  readonly fault: Fault;
  /** Outputs left on with nothing leased, or with the other one leased; each with its current, A, and the worst case. */
  readonly leftOn: readonly LeftOn[];
  /** Most that it drives into the diode of the pin that looks at the loads, in any case, A. */
  readonly sensePinA: number;
}

/** All that the simulator keeps of a solution: to keep every voltage takes a third of its time. */
const MEASURED: Readonly<Record<Watched | 'pin', string>> = {
  mat: `i(${meterOf(WATCHED.mat)})`,
  pump: `i(${meterOf(WATCHED.pump)})`,
  pin: `@${SENSE_GUARD}[id]`,
};

const measured = (tag: string): string[] => [
  'op',
  ...Object.entries(MEASURED).map(([name, current]) => `let ${name}_${tag} = ${current}`),
  `print ${Object.keys(MEASURED)
    .map((name) => `${name}_${tag}`)
    .join(' ')}`,
  'destroy all',
];

function deck(circuit: Circuit, faults: readonly Fault[]): string {
  const commands = CASES.flatMap((one, c) => [
    ...caseCommands(circuit, one),
    ...measured(`sound_${c}`),
    ...faults.flatMap((fault, f) => {
      const { made, undone } = faultCommands(circuit, fault, one);
      return [...made, ...measured(`${f}_${c}`), ...undone];
    }),
  ]);
  const cards = soldered(wholeCircuit(circuit, shortsOf(faults)), openedBy(faults));
  checkElements(cards, commands);
  return [
    '* every single fault of the circuit, one after the other',
    ...cards,
    `.save ${Object.values(MEASURED).join(' ')}`,
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
  const decks = Math.ceil(faults.length / FAULTS_A_DECK);
  return Array.from({ length: decks }, (_, i) =>
    triedInADeck(circuit, faults.slice(i * FAULTS_A_DECK, (i + 1) * FAULTS_A_DECK)),
  ).flat();
}

function triedInADeck(circuit: Circuit, faults: readonly Fault[]): Trial[] {
  const values = simulate(deck(circuit, faults));
  const ampsOf = (output: Watched | 'pin', tag: string): number => {
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
  const worstOf = (fault: number): LeftOn[] =>
    WATCHED_NAMES.flatMap((output) => {
      const worst = CASES.flatMap((one, c) =>
        JUDGED_CASES.includes(one) && mustBeOff(one, output)
          ? [{ output, amps: ampsOf(output, `${fault}_${c}`), when: one.words }]
          : [],
      ).sort((a, b) => b.amps - a.amps)[0];
      return worst === undefined || !isOn(output, worst.amps) ? [] : [worst];
    });
  return faults.map((fault, f) => ({
    fault,
    leftOn: worstOf(f),
    sensePinA: Math.max(...CASES.map((_, c) => ampsOf('pin', `${f}_${c}`))),
  }));
}

const KINDS: Readonly<Record<Fault['kind'], string>> = {
  'wire-open': 'wires broken',
  'pin-open': 'parts and joints open',
  'pins-shorted': 'parts and neighbours shorted',
  'stuck-high': 'pins of the controller stuck high',
};

/** The fault that drives most into the pin that looks at the loads. */
export const worstForPin = (trials: readonly Trial[]): Trial | undefined =>
  [...trials].sort((a, b) => b.sensePinA - a.sensePinA)[0];

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
  const pin = worstForPin(trials);
  return [
    `each in ${JUDGED_CASES.length} cases: ${RAILS_V.join(' and ')} V; controller told off or in reset, drawing little or much; the mat heats; the pump runs`,
    ...rows,
    `  into the pin that looks at the loads at most ${((pin?.sensePinA ?? 0) * 1e3).toFixed(2)} mA: ${pin === undefined ? '' : faultWords(pin.fault)}`,
  ].join('\n');
}
