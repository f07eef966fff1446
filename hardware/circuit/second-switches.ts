/**
 * The second switches of mat and pump, one each: a P-channel switch in the supply of each, closed only while the safety
 * step keeps toggling a pin. The toggling goes through a capacitor, so that no steady level of that pin closes it, high,
 * low or floating. Two of them: behind a common one, a first switch that has welded would pass while the other output
 * is on.
 */
import type { PINS } from '../../shared/board/map';
import type { Block, Part, PinRef } from './kinds';
import { capacitor, gateZener, railSwitch, resistor, signalDiode, smallNpn } from './make';
import type { Joins, NetName } from './nets';

/** What each part of a second switch does, in the order of the current. */
type Role =
  /** Between pin and capacitor: limits what the pin gives. */
  | 'guard'
  /** Grounds the control wire when it is broken. */
  | 'ground'
  /** Lets changes of the pin through, and no level. */
  | 'coupling'
  /** Diodes: one draws the capacitor back to ground, one passes its charge on. */
  | 'back'
  | 'forward'
  /** Holds from one rise to the next. */
  | 'hold'
  | 'drive'
  | 'bleed'
  | 'transistor'
  /** Draws the gate down while the transistor is closed. */
  | 'pull'
  /** Holds the gate at its source while it is open; with the zener it stays within what it bears. */
  | 'rest'
  | 'clamp'
  | 'closer';

type Node = 'pin' | 'pulse' | 'pumped' | 'held' | 'base' | 'pulled' | 'gate' | 'supply';

export interface SecondSwitch {
  readonly block: Block;
  readonly pin: keyof typeof PINS;
  readonly refs: Readonly<Record<Role, string>>;
  readonly nets: Readonly<Record<Node, NetName>>;
}

export const SECOND_SWITCHES = {
  mat: {
    block: 'feed',
    pin: 'feed',
    refs: {
      guard: 'R21',
      ground: 'R22',
      coupling: 'C8',
      back: 'D12',
      forward: 'D13',
      hold: 'C9',
      drive: 'R23',
      bleed: 'R24',
      transistor: 'Q6',
      pull: 'R25',
      rest: 'R26',
      clamp: 'D14',
      closer: 'Q5',
    },
    nets: {
      pin: 'FEED',
      pulse: 'FEED_PULSE',
      pumped: 'FEED_PUMP',
      held: 'FEED_HOLD',
      base: 'FEED_BASE',
      pulled: 'FEED_PULL',
      gate: 'FEED_GATE',
      supply: 'MAT_SUPPLY',
    },
  },
  pump: {
    block: 'arm',
    pin: 'arm',
    refs: {
      guard: 'R34',
      ground: 'R35',
      coupling: 'C10',
      back: 'D15',
      forward: 'D16',
      hold: 'C11',
      drive: 'R36',
      bleed: 'R37',
      transistor: 'Q8',
      pull: 'R38',
      rest: 'R39',
      clamp: 'D17',
      closer: 'Q7',
    },
    nets: {
      pin: 'ARM',
      pulse: 'ARM_PULSE',
      pumped: 'ARM_PUMP',
      held: 'ARM_HOLD',
      base: 'ARM_BASE',
      pulled: 'ARM_PULL',
      gate: 'ARM_GATE',
      supply: 'PUMP_SUPPLY',
    },
  },
} as const satisfies Record<'mat' | 'pump', SecondSwitch>;

export const SECOND_SWITCH_LIST: readonly SecondSwitch[] = Object.values(SECOND_SWITCHES);

/** Parts of a second switch, both of one kind: what is bought for the one is bought for the other. */
export const secondSwitchParts = ({ block, refs }: SecondSwitch): readonly Part[] => [
  resistor(refs.guard, block, 'power-board', 1000),
  resistor(refs.ground, block, 'power-board', 10_000),
  capacitor(refs.coupling, block, 'power-board', 2.2e-6, 25, 'X7R ceramic'),
  signalDiode(refs.back, block),
  signalDiode(refs.forward, block),
  capacitor(refs.hold, block, 'power-board', 2.2e-6, 25, 'X7R ceramic'),
  resistor(refs.drive, block, 'power-board', 68_000),
  resistor(refs.bleed, block, 'power-board', 100_000),
  smallNpn(refs.transistor, block),
  resistor(refs.pull, block, 'power-board', 4700),
  resistor(refs.rest, block, 'power-board', 100_000),
  gateZener(refs.clamp, block),
  railSwitch(refs.closer, block),
];

export function secondSwitchJoins({ refs, nets }: SecondSwitch): Joins {
  const at: Readonly<Record<Node, readonly PinRef[]>> = {
    pin: [`${refs.guard}.1`, `${refs.ground}.1`],
    pulse: [`${refs.guard}.2`, `${refs.coupling}.1`],
    pumped: [`${refs.coupling}.2`, `${refs.back}.K`, `${refs.forward}.A`],
    held: [`${refs.forward}.K`, `${refs.hold}.1`, `${refs.drive}.1`],
    base: [`${refs.drive}.2`, `${refs.bleed}.1`, `${refs.transistor}.B`],
    pulled: [`${refs.transistor}.C`, `${refs.pull}.1`],
    gate: [`${refs.pull}.2`, `${refs.rest}.1`, `${refs.clamp}.A`, `${refs.closer}.G`],
    supply: [`${refs.closer}.D`],
  };
  return {
    ...Object.fromEntries((Object.keys(at) as Node[]).map((node) => [nets[node], at[node]])),
    RAIL: [`${refs.rest}.2`, `${refs.clamp}.K`, `${refs.closer}.S`],
    GROUND: [
      `${refs.ground}.2`,
      `${refs.back}.A`,
      `${refs.hold}.2`,
      `${refs.bleed}.2`,
      `${refs.transistor}.E`,
    ],
  };
}
