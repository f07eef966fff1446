/**
 * What the pin that looks at the loads reads in the simulated circuit, with the mat's switch open and closed behind a
 * closed second switch, whatever has failed. Host side only.
 */
import { ADC_FULL_SCALE, ADC_REFERENCE_V } from '../../shared/board/map';
import { SENSE_PIN } from '../circuit/controller';
import type { Circuit } from '../circuit/kinds';
import { SECOND_SWITCHES } from '../circuit/second-switches';
import { simulate } from '../spice/run';
import { pinNode, wholeCircuit } from '../spice/whole';
import { caseCommands, checkElements, faultCommands, leasedCase } from './cases';
import { type Fault, shortsOf } from './single';

/** ADC codes, not rounded, and the feed behind the second switch at either, V. */
export interface SimulatedLook {
  readonly openCode: number;
  readonly closedCode: number;
  readonly openFeedV: number;
  readonly closedFeedV: number;
}

export interface LookAt {
  readonly railV: number;
  /** What the mat takes. */
  readonly matOhm: number;
  /** What the diode beside the mat leaks. */
  readonly leakageA: number;
}

const LEAK = 'i_leak';
const STATES = ['fed', 'heating'] as const;

/** A look after each of `faults`, one at a time; null is the sound circuit. Throws where the simulator found no answer. */
export function simulateLooks(
  circuit: Circuit,
  faults: readonly (Fault | null)[],
  { railV, matOhm, leakageA }: LookAt,
): SimulatedLook[] {
  const commands = [
    `alter ${LEAK} dc = ${leakageA}`,
    ...STATES.flatMap((state) => [
      ...caseCommands(circuit, leasedCase(railV, state), matOhm),
      ...faults.flatMap((fault, f) => {
        const change =
          fault === null ? null : faultCommands(circuit, fault, leasedCase(railV, state));
        return [
          ...(change?.made ?? []),
          'op',
          `let pin = v(${pinNode(`A1.${SENSE_PIN}`)})-v(a1g)`,
          `let feed = v(${pinNode(`${SECOND_SWITCHES.mat.refs.closer}.D`)})-v(a1g)`,
          `echo pin_${state}_${f} = $&pin`,
          `echo feed_${state}_${f} = $&feed`,
          'destroy all',
          ...(change?.undone ?? []),
        ];
      }),
    ]),
  ];
  const cards = [
    ...wholeCircuit(circuit, shortsOf(faults.filter((fault) => fault !== null))),
    `${LEAK} ${pinNode('D1.K')} ${pinNode('D1.A')} 0`,
  ];
  checkElements(cards, commands);
  const deck = ['* looks at the mat', ...cards, '.control', ...commands, 'quit', '.endc', '.end'];
  const values = simulate([...deck, ''].join('\n'));
  const named = (name: string): number => {
    const value = values.get(name);
    if (value === undefined || Number.isNaN(value)) throw new Error(`ngspice gave no ${name}`);
    return value;
  };
  const codeOf = (name: string): number => (named(name) / ADC_REFERENCE_V) * ADC_FULL_SCALE;
  return faults.map((_, f) => ({
    openCode: codeOf(`pin_fed_${f}`),
    closedCode: codeOf(`pin_heating_${f}`),
    openFeedV: named(`feed_fed_${f}`),
    closedFeedV: named(`feed_heating_${f}`),
  }));
}
