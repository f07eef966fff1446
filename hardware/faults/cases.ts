/** The controller as it may be when a fault comes, and what makes the simulated circuit so. Host side only. */
import { PAD_OHM } from '../checks/outputs';
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { LOGIC } from '../circuit/limits';
import {
  CLOSED_OHM,
  CONTROLLER_LOAD,
  FEED_CLOSER,
  HEAT_DRIVER,
  jointOf,
  loadElement,
  OPEN_OHM,
  outputPin,
  padElement,
  SUPPLY,
  shortElement,
  stuckElement,
  wireElement,
} from '../spice/whole';
import type { Fault } from './single';

/** Outputs that can hurt. The sounder is not one: what sounds without reason is looked at. */
export const WATCHED = { mat: 'HM1', pump: 'M1' } as const;
export type Watched = keyof typeof WATCHED;

export interface Case {
  readonly words: string;
  readonly railV: number;
  /** What the controller board draws, A at 5 V. */
  readonly controllerA: number;
  /** What holds its outputs low, ohm. */
  readonly padOhm: number;
  /**
   * Nothing is leased; or the second switch is closed, for the pump as well, and nothing on yet, as a look at the mat
   * begins; or the mat heats behind it.
   */
  readonly state: 'off' | 'fed' | 'heating';
}

/** A driver told "low", and the pad's own pull-down while the chip is in reset. */
const PADS = { 'told off': PAD_OHM, 'in reset': LOGIC.padPullMaxOhm } as const;
const CONTROLLER_AMPS = [0.02, 0.09] as const;
export const RAILS_V = [12, 24] as const;

export const OFF_CASES: readonly Case[] = RAILS_V.flatMap((railV) =>
  CONTROLLER_AMPS.flatMap((controllerA) =>
    Object.entries(PADS).map(([state, padOhm]) => ({
      words: `${railV} V, controller ${state} and drawing ${controllerA * 1e3} mA`,
      railV,
      controllerA,
      padOhm,
      state: 'off' as const,
    })),
  ),
);

/** Told off but for what `state` asks for. */
export const leasedCase = (railV: number, state: 'fed' | 'heating'): Case => ({
  words: `${railV} V, ${state === 'fed' ? 'the second switch closed' : 'the mat heats'}`,
  railV,
  controllerA: CONTROLLER_AMPS[1],
  padOhm: PAD_OHM,
  state,
});
export const HEATING_CASES: readonly Case[] = RAILS_V.map((railV) => leasedCase(railV, 'heating'));
/** What it may put on a pin is most at the higher rail. */
export const FED_CASES: readonly Case[] = [leasedCase(Math.max(...RAILS_V), 'fed')];

/** Like the charge that a toggling pin brings: enough for the switch, not for a short beside it. */
const CLOSER_OHM = 1000;

/** The element a fault alters, and to what. */
export function altered(fault: Fault): {
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

export function ratedA(circuit: Circuit, ref: string): number {
  const part = findPart(circuit, ref);
  return part !== undefined && isKind(part, 'load') ? part.ratings.ratedA : Number.NaN;
}

/** Commands that bring the circuit into a case, its mat taking its rated current unless `matOhm` says otherwise. */
export const caseCommands = (
  circuit: Circuit,
  { railV, controllerA, padOhm, state }: Case,
  matOhm = railV / ratedA(circuit, WATCHED.mat),
): string[] => [
  `alter ${SUPPLY} dc = ${railV}`,
  `alter ${CONTROLLER_LOAD} = ${5 / controllerA}`,
  ...(['mat', 'pump', 'sounder', 'feed'] as const).map(
    (name) =>
      `alter ${padElement(outputPin(name))} = ${state === 'heating' && name === 'mat' ? OPEN_OHM : padOhm}`,
  ),
  `alter ${HEAT_DRIVER} = ${state === 'heating' ? PAD_OHM : OPEN_OHM}`,
  ...(findPart(circuit, 'C9') === undefined
    ? []
    : [`alter ${FEED_CLOSER} = ${state === 'off' ? OPEN_OHM : CLOSER_OHM}`]),
  `alter ${loadElement(WATCHED.mat)} = ${matOhm}`,
  `alter ${loadElement(WATCHED.pump)} = ${railV / ratedA(circuit, WATCHED.pump)}`,
  `alter ${loadElement('LS1')} = ${5 / ratedA(circuit, 'LS1')}`,
];

/** Throws when a command would alter what the circuit does not have: that fault would seem to do nothing. */
export function checkElements(cards: readonly string[], commands: readonly string[]): void {
  const defined = new Set(cards.map((card) => card.split(' ', 1)[0]?.toLowerCase()));
  for (const command of commands) {
    const [word, element = ''] = command.split(' ');
    if (word === 'alter' && !defined.has(element)) {
      throw new Error(`the simulated circuit has no ${element}`);
    }
  }
}
