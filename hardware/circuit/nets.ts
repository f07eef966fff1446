/** Every net by name, and what it is for. */
import type { NetUse, PinRef } from './kinds';
import { PROBE_LIST, type ProbeNet } from './probes';

// Sound: these are the nets of every probe.
const PROBE_USES = Object.fromEntries(
  PROBE_LIST.flatMap(({ net, adcNet }) => [
    [net, 'sense'],
    [adcNet, 'sense'],
  ]),
) as Readonly<Record<ProbeNet, 'sense'>>;

export const NET_USES = {
  /** Straight from the supply unit: nothing in our box protects this one. */
  INLET: 'feed',
  FUSED: 'feed',
  RAIL: 'feed',
  REVERSE_GATE: 'gate',
  /** Behind the second switches: what heats hangs on the one, what wets on the other. */
  MAT_SUPPLY: 'feed',
  PUMP_SUPPLY: 'feed',
  /** Supply, fuse and switch of the mat and the feed of the pump, weighed into one; and the share of it that the controller looks at. */
  LOADS_SUM: 'sense',
  LOADS_SENSE: 'sense',
  FEED: 'logic',
  FEED_PULSE: 'logic',
  FEED_PUMP: 'logic',
  FEED_HOLD: 'logic',
  FEED_BASE: 'gate',
  FEED_PULL: 'gate',
  FEED_GATE: 'gate',
  ARM: 'logic',
  ARM_PULSE: 'logic',
  ARM_PUMP: 'logic',
  ARM_HOLD: 'logic',
  ARM_BASE: 'gate',
  ARM_PULL: 'gate',
  ARM_GATE: 'gate',
  MAT_FEED: 'feed',
  MAT_CUT: 'feed',
  MAT_LOW: 'switched',
  MAT: 'logic',
  MAT_GATE: 'gate',
  PUMP_FEED: 'feed',
  PUMP_LOW: 'switched',
  PUMP: 'logic',
  PUMP_GATE: 'gate',
  SOUNDER: 'logic',
  SOUNDER_BASE: 'gate',
  SOUNDER_LOW: 'switched',
  BUCK_FEED: 'feed',
  FIVE_VOLT: 'five-volt',
  BOARD_FEED: 'five-volt',
  LOGIC_SUPPLY: 'logic-supply',
  SCALE_SUPPLY: 'logic-supply',
  ADC_REFERENCE: 'reference',
  ...PROBE_USES,
  SCALE_CLK: 'logic',
  SCALE_DATA: 'logic',
  BRIDGE_PLUS: 'sense',
  BRIDGE_MINUS: 'quiet-ground',
  SIGNAL_PLUS: 'sense',
  SIGNAL_MINUS: 'sense',
  LINK_TX: 'logic',
  LINK_RX: 'logic',
  SERVICE_TX: 'logic',
  SERVICE_RX: 'logic',
  LAMP: 'logic',
  LAMP_LED: 'logic',
  GROUND: 'ground',
  QUIET_GROUND: 'quiet-ground',
} as const satisfies Record<string, NetUse>;

export type NetName = keyof typeof NET_USES;

/** Pins that a block hangs on each net. */
export type Joins = Partial<Readonly<Record<NetName, readonly PinRef[]>>>;
