/** The controller as it may be when a fault comes, and what makes the simulated circuit so. Host side only. */
import { PAD_OHM } from '../checks/outputs';
import { findPart, isKind, netOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { LOGIC } from '../circuit/limits';
import { SECOND_SWITCHES } from '../circuit/second-switches';
import {
  CLOSED_OHM,
  CONTROLLER_LOAD,
  closerElement,
  driverElement,
  jointOf,
  loadElement,
  OPEN_OHM,
  outputPin,
  padElement,
  SUPPLY,
  SWITCHED_TWICE,
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
  readonly state: State;
}

/** What the controller holds closed and drives: outputs whose pin is high, and those whose second switch is closed. */
export const STATES = {
  /** Nothing is leased. */
  off: { on: [], closed: [] },
  /** A look at the mat begins. */
  fed: { on: [], closed: ['mat'] },
  heating: { on: ['mat'], closed: ['mat'] },
  dosing: { on: ['pump'], closed: ['pump'] },
  /** Just let go: the second switches take their time. */
  'let go': { on: [], closed: ['mat', 'pump'] },
} as const satisfies Record<string, Record<'on' | 'closed', readonly Watched[]>>;
export type State = keyof typeof STATES;

/** Whether an output has no reason to be on. */
export const mustBeOff = ({ state }: Case, output: Watched): boolean => {
  const on: readonly Watched[] = STATES[state].on;
  return !on.includes(output);
};

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

const WORDS: Readonly<Record<Exclude<State, 'off'>, string>> = {
  fed: 'the second switch of the mat closed',
  heating: 'the mat heats',
  dosing: 'the pump runs',
  'let go': 'both second switches closed',
};

/** Told off but for what `state` asks for. */
export const leasedCase = (railV: number, state: Exclude<State, 'off'>): Case => ({
  words: `${railV} V, ${WORDS[state]}`,
  railV,
  controllerA: CONTROLLER_AMPS[1],
  padOhm: PAD_OHM,
  state,
});
/** One output on, and the other one not. */
export const LEASED_CASES: readonly Case[] = RAILS_V.flatMap((railV) =>
  (['heating', 'dosing'] as const).map((state) => leasedCase(railV, state)),
);
/** For what it may put on a pin, which is most at the higher rail. A first switch that fails passes for a moment here. */
export const CLOSED_CASES: readonly Case[] = (['fed', 'let go'] as const).map((state) =>
  leasedCase(Math.max(...RAILS_V), state),
);

/** Like the charge that a toggling pin brings: enough for the switch, not for a short beside it. */
const CLOSER_OHM = 1000;

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

export function ratedA(circuit: Circuit, ref: string): number {
  const part = findPart(circuit, ref);
  return part !== undefined && isKind(part, 'load') ? part.ratings.ratedA : Number.NaN;
}

/** Closes the second switches of these outputs and opens the others. */
const closerCommands = (circuit: Circuit, closed: readonly Watched[]): string[] =>
  SWITCHED_TWICE.filter(
    (name) => findPart(circuit, SECOND_SWITCHES[name].refs.hold) !== undefined,
  ).map(
    (name) => `alter ${closerElement(name)} = ${closed.includes(name) ? CLOSER_OHM : OPEN_OHM}`,
  );

/** Whether a fault joins what toggles for the one output to what would for the other: simulated, nothing toggles. */
const joinsControls = (circuit: Circuit, fault: Fault): boolean =>
  fault.kind === 'pins-shorted' &&
  SWITCHED_TWICE.every((name) =>
    fault.pins.some((pin) => {
      const nets: readonly string[] = Object.values(SECOND_SWITCHES[name].nets);
      return nets.includes(netOf(circuit, pin)?.name ?? '');
    }),
  );

/** What a fault makes of a case, and what undoes that. */
export function faultCommands(
  circuit: Circuit,
  fault: Fault,
  { state }: Case,
): { readonly made: readonly string[]; readonly undone: readonly string[] } {
  const { element, bad, good } = altered(fault);
  const closed: readonly Watched[] = STATES[state].closed;
  const both = closed.length > 0 && joinsControls(circuit, fault);
  return {
    made: [`alter ${element} = ${bad}`, ...(both ? closerCommands(circuit, SWITCHED_TWICE) : [])],
    undone: [`alter ${element} = ${good}`, ...(both ? closerCommands(circuit, closed) : [])],
  };
}

/** Commands that bring the circuit into a case, its mat taking its rated current unless `matOhm` says otherwise. */
export const caseCommands = (
  circuit: Circuit,
  { railV, controllerA, padOhm, state }: Case,
  matOhm = railV / ratedA(circuit, WATCHED.mat),
): string[] => [
  `alter ${SUPPLY} dc = ${railV}`,
  `alter ${CONTROLLER_LOAD} = ${5 / controllerA}`,
  ...(['sounder', 'feed', 'arm'] as const).map(
    (name) => `alter ${padElement(outputPin(name))} = ${padOhm}`,
  ),
  ...SWITCHED_TWICE.flatMap((name) => {
    const on: readonly Watched[] = STATES[state].on;
    return [
      `alter ${padElement(outputPin(name))} = ${on.includes(name) ? OPEN_OHM : padOhm}`,
      `alter ${driverElement(name)} = ${on.includes(name) ? PAD_OHM : OPEN_OHM}`,
    ];
  }),
  ...closerCommands(circuit, STATES[state].closed),
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
