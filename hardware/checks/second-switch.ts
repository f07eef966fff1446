/** Rules about the second switch: nothing passes it by, and nothing but a toggling pin closes it. */
import { SAFETY_STEP_MS } from '../../shared/board/map';
import { findPart, netOf, netsOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit, PartKind, RatingsOf } from '../circuit/kinds';
import { LOGIC, MARGIN, RAIL } from '../circuit/limits';
import { isGround, neighbours, reachable } from './paths';
import type { Finding, Rule } from './rule';

/** The P-channel switch of the feed block. */
export const feedSwitch = (circuit: Circuit): PartOf<'mosfet'> | undefined =>
  partsOf(circuit, 'mosfet').find((part) => part.block === 'feed' && part.ratings.channel === 'p');

export const secondSwitch: Rule = {
  id: 'second-switch',
  statement:
    'Mat and pump get their current through one P-channel switch, drain to the loads, and the controller does not; its gate rests at its source by a resistor, within a zener.',
  source:
    'IEC 60730-1 annex H: a single fault ends in the safe state; a switch can weld, and its own command does not open it then',
  check(circuit) {
    const feed = feedSwitch(circuit);
    if (feed === undefined) {
      return [{ part: '(none)', net: 'LOAD_FEED', why: 'there is no second switch.' }];
    }
    const nets = netsOf(circuit, feed);
    const [source, drain, gate] = ['S', 'D', 'G'].map((pin) => nets.get(pin)?.name ?? '(none)');
    const findings: Finding[] = [];
    if (source !== 'RAIL') {
      const why = 'it is the wrong way round: its body diode would pass current while it is open.';
      findings.push({ part: feed.ref, net: drain ?? '(none)', why });
    }
    // Past the switch, and not by ground, no way leads from a load to the rail.
    const pastIt = (net: string): Set<string> =>
      reachable(circuit, net, (part, to) => part.ref !== feed.ref && !isGround(circuit, to));
    for (const load of partsOf(circuit, 'load')) {
      const fed = [...netsOf(circuit, load).values()].find(({ use }) => use === 'feed');
      if (fed === undefined || !pastIt(fed.name).has('RAIL')) continue;
      const why = 'its current does not come through the second switch.';
      findings.push({ part: load.ref, net: fed.name, why });
    }
    const converter = netOf(circuit, 'A2.IN+')?.name ?? '(none)';
    if (!pastIt(converter).has('RAIL')) {
      const why = 'the controller would need itself to start.';
      findings.push({ part: 'A2', net: converter, why });
    }
    return [...findings, ...restFindings(circuit, feed, gate ?? '(none)', source ?? '(none)')];
  },
};

/** What keeps the gate at its source while nothing pulls, and within its limits while something does. */
function restFindings(
  circuit: Circuit,
  feed: PartOf<'mosfet'>,
  gate: string,
  source: string,
): Finding[] {
  const beside = neighbours(circuit, gate).filter((next) => next.net === source);
  const rests = beside.some(
    ({ part }) => part.ratings.kind === 'resistor' && part.ratings.ohm <= REST_MAX_OHM,
  );
  const clamp = beside.find(
    ({ part }) =>
      part.ratings.kind === 'diode' &&
      part.ratings.style === 'zener' &&
      netsOf(circuit, part).get('K')?.name === source,
  )?.part.ratings;
  const clampV =
    clamp?.kind === 'diode' ? (clamp.clampV ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY;
  return [
    rests ? null : 'nothing holds it open: it needs a resistor from gate to source.',
    clampV <= feed.ratings.gateSourceMaxV
      ? null
      : `its gate needs a zener below ${feed.ratings.gateSourceMaxV} V to its source.`,
  ]
    .filter((why) => why !== null)
    .map((why) => ({ part: feed.ref, net: gate, why }));
}

/** Weaker, and leakage of gate and transistor lifts it when hot. */
const REST_MAX_OHM = 220_000;

/** Forward voltage of a small silicon diode, and of a base, at microamperes in the cold, V (data sheets). */
const DIODE_V = 0.45;
const BASE_ON_V = 0.6;
/** In the heat the diode drops so little, and below this a base draws nothing that counts, V. */
const DIODE_HOT_V = 0.35;
const BASE_OFF_V = 0.45;
/** Of X7R capacitors. */
const CAPACITOR_TOLERANCE = 0.2;
/** The pin rises every other step. A step that an erase makes late may open the switch for a moment: that harms nothing. */
const RISES_EVERY_S = (2 * SAFETY_STEP_MS) / 1000;
/** Between the last toggle and the switch open, with the parts that keep it closed longest. */
const OPEN_MAX_S = 0.8;
/** Lowest and highest of the 3.3 V, at a pin that drives little. */
const PIN_HIGH_V = LOGIC.nominalV * (1 - LOGIC.tolerance);
const PIN_HIGH_MAX_V = LOGIC.nominalV * (1 + LOGIC.tolerance);

/** Voltages and times of the charge pump, from the parts' values. */
export interface ChargePump {
  /** Across the hold capacitor after the first rise of the pin, and before each later one; V. */
  readonly firstV: number;
  readonly leastV: number;
  /** At which the switch is still fully closed, V. */
  readonly closedV: number;
  /** After the last rise it is open, s: after a pin that stays high, for then both capacitors hold. */
  readonly opensS: number;
}

const ratingsOf = <K extends PartKind>(
  circuit: Circuit,
  ref: string,
  kind: K,
): RatingsOf<K> | undefined => {
  const ratings = findPart(circuit, ref)?.ratings;
  // Sound: a kind's ratings are those of its name.
  return ratings?.kind === kind ? (ratings as RatingsOf<K>) : undefined;
};

/** Null when a part is missing or of another kind. */
export function chargePumpOf(circuit: Circuit): ChargePump | null {
  const coupling = ratingsOf(circuit, 'C8', 'capacitor')?.farad;
  const hold = ratingsOf(circuit, 'C9', 'capacitor')?.farad;
  const drive = ratingsOf(circuit, 'R23', 'resistor')?.ohm;
  const bleed = ratingsOf(circuit, 'R24', 'resistor')?.ohm;
  const rest = ratingsOf(circuit, 'R26', 'resistor')?.ohm;
  const gain = ratingsOf(circuit, 'Q6', 'bipolar')?.gainMin;
  const gateV = feedSwitch(circuit)?.ratings.onAtGateV;
  if (coupling === undefined || hold === undefined) return null;
  if (drive === undefined || bleed === undefined || rest === undefined) return null;
  if (gain === undefined || gateV === undefined) return null;
  // A rise shares its charge between both capacitors; between rises the hold capacitor falls towards the base.
  const shared = coupling / (coupling + hold);
  const falls = Math.exp(-RISES_EVERY_S / (drive * hold));
  const emptyV = PIN_HIGH_V - 2 * DIODE_V;
  const leastV = (BASE_ON_V * (1 - falls) + falls * shared * emptyV) / (1 - falls * (1 - shared));
  const openV = BASE_OFF_V * (1 + drive / bleed);
  const longestS = drive * (coupling + hold) * (1 + CAPACITOR_TOLERANCE);
  const fullV = PIN_HIGH_MAX_V - 2 * DIODE_HOT_V;
  return {
    firstV: (PIN_HIGH_V - DIODE_V) * shared,
    leastV,
    closedV: BASE_ON_V + drive * (gateV / rest / gain + BASE_ON_V / bleed),
    opensS: longestS * Math.log((fullV - BASE_OFF_V) / (openV - BASE_OFF_V)),
  };
}

/** Where current can come from: nets that a steady level of the controller's pin reaches. */
function steadyFindings(circuit: Circuit): Finding[] {
  const pin = netOf(circuit, 'R21.1')?.name ?? 'FEED';
  const base = netOf(circuit, 'Q6.B')?.name ?? 'FEED_BASE';
  const reached = reachable(
    circuit,
    pin,
    (part, to) => part.ratings.kind !== 'mosfet' && !isGround(circuit, to),
  );
  if (!reached.has(base)) return [];
  return [
    {
      part: 'C8',
      net: base,
      why: 'a steady level of the pin reaches it: no capacitor is between.',
    },
  ];
}

/** The two diodes: one lets the pump node no lower than ground, the other passes its charge on. */
function diodeFindings(circuit: Circuit): Finding[] {
  const pumped = netOf(circuit, 'C8.2')?.name ?? 'FEED_PUMP';
  const held = netOf(circuit, 'C9.1')?.name ?? 'FEED_HOLD';
  const ways: readonly (readonly [string, string, string])[] = [
    ['D12', 'GROUND', pumped],
    ['D13', pumped, held],
  ];
  return ways.flatMap(([ref, from, to]) => {
    const part = findPart(circuit, ref);
    const nets = part === undefined ? undefined : netsOf(circuit, part);
    const fits =
      part?.ratings.kind === 'diode' &&
      part.ratings.style === 'silicon' &&
      nets?.get('A')?.name === from &&
      nets.get('K')?.name === to;
    const why = `a small silicon diode from ${from} to ${to} is wanted: a Schottky diode leaks when warm.`;
    return fits ? [] : [{ part: ref, net: to, why }];
  });
}

const volts = (value: number): string => `${value.toFixed(2)} V`;

export const chargePump: Rule = {
  id: 'charge-pump',
  statement: `The second switch closes at the pin's first rise, stays closed from one rise to the next, and opens ${OPEN_MAX_S} s after the last; no steady level of the pin reaches its transistor.`,
  source:
    'IEC 60730-1 annex H: a signal that must change; small silicon diodes and transistors, data sheets; charge shared by two capacitors',
  check(circuit) {
    const held = netOf(circuit, 'C9.1')?.name ?? 'FEED_HOLD';
    const structure = [...steadyFindings(circuit), ...diodeFindings(circuit)];
    const pump = chargePumpOf(circuit);
    if (pump === null) {
      const why = 'it needs C8, C9, R23, R24, R26 and Q6.';
      return [...structure, { part: '(charge pump)', net: held, why }];
    }
    const { firstV, leastV, closedV, opensS } = pump;
    const gateV = gateLowestV(circuit);
    const { collectorV } = ratingsOf(circuit, 'Q6', 'bipolar') ?? { collectorV: 0 };
    const faults: (readonly [string, string] | null)[] = [
      firstV < closedV
        ? ['C8', `the first rise gives ${volts(firstV)}; ${volts(closedV)} close the switch.`]
        : null,
      leastV < closedV
        ? ['C9', `before each rise ${volts(leastV)} are left; ${volts(closedV)} close the switch.`]
        : null,
      !(opensS <= OPEN_MAX_S) ? ['C9', `the switch opens after ${opensS.toFixed(2)} s.`] : null,
      gateV < (feedSwitch(circuit)?.ratings.onAtGateV ?? 0)
        ? ['R25', `it leaves the gate ${volts(gateV)} at the lowest rail.`]
        : null,
      collectorV < RAIL.maxV * MARGIN.voltage ? ['Q6', `it bears ${collectorV} V.`] : null,
    ];
    const values = faults
      .filter((fault) => fault !== null)
      .map(([part, why]) => ({ part, net: held, why }));
    return [...structure, ...values];
  },
};

/** Gate to source, V, with the transistor closed at the lowest rail. */
function gateLowestV(circuit: Circuit): number {
  const pull = ratingsOf(circuit, 'R25', 'resistor')?.ohm ?? Number.POSITIVE_INFINITY;
  const rest = ratingsOf(circuit, 'R26', 'resistor')?.ohm ?? 0;
  const saturationV = ratingsOf(circuit, 'Q6', 'bipolar')?.saturationV ?? 0;
  return ((RAIL.minV - saturationV) * rest) / (rest + pull);
}
