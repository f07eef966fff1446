/** Rules about the second switches: nothing passes them by, and nothing but a toggling pin closes them. */
import { findPart, isKind, netOf, netsOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit, PartKind, RatingsOf } from '../circuit/kinds';
import { MARGIN, RAIL, SECOND_SWITCH } from '../circuit/limits';
import { SECOND_SWITCH_LIST, SECOND_SWITCHES, type SecondSwitch } from '../circuit/second-switches';
import { isGround, neighbours, reachable } from './paths';
import type { Finding, Rule } from './rule';

const closerOf = (circuit: Circuit, { refs }: SecondSwitch): PartOf<'mosfet'> | undefined => {
  const part = findPart(circuit, refs.closer);
  return part !== undefined && isKind(part, 'mosfet') && part.ratings.channel === 'p'
    ? part
    : undefined;
};

/** The loads that a second switch is for, by their block in the netlist. */
const LOADS = Object.keys(SECOND_SWITCHES) as readonly (keyof typeof SECOND_SWITCHES)[];

export const secondSwitch: Rule = {
  id: 'second-switch',
  statement:
    'Mat and pump each get their current through a P-channel switch of their own, drain to the load, and the controller through neither; its gate rests at its source by a resistor, within a zener.',
  source:
    'IEC 60730-1 annex H: a single fault ends in the safe state; a switch can weld, and its own command does not open it then',
  check(circuit) {
    const findings = LOADS.flatMap((block) => loadFindings(circuit, block));
    const converter = netOf(circuit, 'A2.IN+')?.name ?? '(none)';
    const closers = SECOND_SWITCH_LIST.map(({ refs }) => refs.closer);
    if (!past(circuit, converter, closers).has('RAIL')) {
      const why = 'the controller would need itself to start.';
      findings.push({ part: 'A2', net: converter, why });
    }
    return findings;
  },
};

/** Where a load's current can come from to `net` without a part of `refs`, and not by ground. */
const past = (circuit: Circuit, net: string, refs: readonly string[]): Set<string> =>
  reachable(
    circuit,
    net,
    ({ ref, ratings }, to) =>
      !refs.includes(ref) &&
      !(ratings.kind === 'resistor' && ratings.ohm >= SECOND_SWITCH.carriesNothingOhm) &&
      !isGround(circuit, to),
  );

function loadFindings(circuit: Circuit, block: (typeof LOADS)[number]): Finding[] {
  const own: SecondSwitch = SECOND_SWITCHES[block];
  const closer = closerOf(circuit, own);
  if (closer === undefined) {
    return [{ part: '(none)', net: own.nets.supply, why: `the ${block} has no second switch.` }];
  }
  const nets = netsOf(circuit, closer);
  const [source, drain, gate] = ['S', 'D', 'G'].map((pin) => nets.get(pin)?.name ?? '(none)');
  const findings: Finding[] = [];
  if (source !== 'RAIL') {
    const why = 'it is the wrong way round: its body diode would pass current while it is open.';
    findings.push({ part: closer.ref, net: drain ?? '(none)', why });
  }
  return [
    ...findings,
    ...wayFindings(circuit, block, closer.ref),
    ...restFindings(circuit, closer, gate ?? '(none)', source ?? '(none)'),
  ];
}

/** The way from the rail to the load: by its own second switch and by nothing else. */
function wayFindings(circuit: Circuit, block: (typeof LOADS)[number], closer: string): Finding[] {
  const load = partsOf(circuit, 'load').find((part) => part.block === block);
  if (load === undefined) {
    const why = `there is no load of the ${block} behind it.`;
    return [{ part: closer, net: SECOND_SWITCHES[block].nets.supply, why }];
  }
  const fed = [...netsOf(circuit, load).values()].find(({ use }) => use === 'feed');
  if (fed === undefined) {
    return [{ part: load.ref, net: '(none)', why: 'none of its pins is on a feed.' }];
  }
  const why = 'its current does not come through its own second switch.';
  return past(circuit, fed.name, [closer]).has('RAIL')
    ? [{ part: load.ref, net: fed.name, why }]
    : [];
}

/** What keeps the gate at its source while nothing pulls, and within its limits while something does. */
function restFindings(
  circuit: Circuit,
  closer: PartOf<'mosfet'>,
  gate: string,
  source: string,
): Finding[] {
  const beside = neighbours(circuit, gate).filter((next) => next.net === source);
  const rests = beside.some(
    ({ part }) => part.ratings.kind === 'resistor' && part.ratings.ohm <= SECOND_SWITCH.restMaxOhm,
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
    clampV <= closer.ratings.gateSourceMaxV
      ? null
      : `its gate needs a zener below ${closer.ratings.gateSourceMaxV} V to its source.`,
  ]
    .filter((why) => why !== null)
    .map((why) => ({ part: closer.ref, net: gate, why }));
}

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
export function chargePumpOf(circuit: Circuit, own: SecondSwitch): ChargePump | null {
  const { refs } = own;
  const coupling = ratingsOf(circuit, refs.coupling, 'capacitor')?.farad;
  const hold = ratingsOf(circuit, refs.hold, 'capacitor')?.farad;
  const drive = ratingsOf(circuit, refs.drive, 'resistor')?.ohm;
  const bleed = ratingsOf(circuit, refs.bleed, 'resistor')?.ohm;
  const rest = ratingsOf(circuit, refs.rest, 'resistor')?.ohm;
  const gain = ratingsOf(circuit, refs.transistor, 'bipolar')?.gainMin;
  const gateV = closerOf(circuit, own)?.ratings.onAtGateV;
  if (coupling === undefined || hold === undefined) return null;
  if (drive === undefined || bleed === undefined || rest === undefined) return null;
  if (gain === undefined || gateV === undefined) return null;
  const { risesEveryS, pinHighV, diodeV, baseOnV, baseOffV } = SECOND_SWITCH;
  // A rise shares its charge between both capacitors; between rises the hold capacitor falls towards the base.
  const shared = coupling / (coupling + hold);
  const falls = Math.exp(-risesEveryS / (drive * hold));
  const emptyV = pinHighV.least - 2 * diodeV.cold;
  const leastV = (baseOnV * (1 - falls) + falls * shared * emptyV) / (1 - falls * (1 - shared));
  const openV = baseOffV * (1 + drive / bleed);
  const longestS = drive * (coupling + hold) * (1 + SECOND_SWITCH.capacitorTolerance);
  const fullV = pinHighV.most - 2 * diodeV.hot;
  return {
    firstV: (pinHighV.least - diodeV.cold) * shared,
    leastV,
    closedV: baseOnV + drive * (gateV / rest / gain + baseOnV / bleed),
    opensS: longestS * Math.log((fullV - baseOffV) / (openV - baseOffV)),
  };
}

/** Where current can come from: nets that a steady level of the controller's pin reaches. */
function steadyFindings(circuit: Circuit, { refs, nets }: SecondSwitch): Finding[] {
  const pin = netOf(circuit, `${refs.guard}.1`)?.name ?? nets.pin;
  const base = netOf(circuit, `${refs.transistor}.B`)?.name ?? nets.base;
  const reached = reachable(
    circuit,
    pin,
    (part, to) => part.ratings.kind !== 'mosfet' && !isGround(circuit, to),
  );
  if (!reached.has(base)) return [];
  return [
    {
      part: refs.coupling,
      net: base,
      why: 'a steady level of the pin reaches it: no capacitor is between.',
    },
  ];
}

/** The two diodes: one lets the pumped node no lower than ground, the other passes its charge on. */
function diodeFindings(circuit: Circuit, { refs, nets }: SecondSwitch): Finding[] {
  const pumped = netOf(circuit, `${refs.coupling}.2`)?.name ?? nets.pumped;
  const held = netOf(circuit, `${refs.hold}.1`)?.name ?? nets.held;
  const ways: readonly (readonly [string, string, string])[] = [
    [refs.back, 'GROUND', pumped],
    [refs.forward, pumped, held],
  ];
  return ways.flatMap(([ref, from, to]) => {
    const part = findPart(circuit, ref);
    const ends = part === undefined ? undefined : netsOf(circuit, part);
    const fits =
      part?.ratings.kind === 'diode' &&
      part.ratings.style === 'silicon' &&
      ends?.get('A')?.name === from &&
      ends.get('K')?.name === to;
    const why = `a small silicon diode from ${from} to ${to} is wanted: a Schottky diode leaks when warm.`;
    return fits ? [] : [{ part: ref, net: to, why }];
  });
}

const volts = (value: number): string => `${value.toFixed(2)} V`;

export const chargePump: Rule = {
  id: 'charge-pump',
  statement: `A second switch closes at its pin's first rise, stays closed from one rise to the next, and opens ${SECOND_SWITCH.opensMaxS} s after the last; no steady level of the pin reaches its transistor.`,
  source:
    'IEC 60730-1 annex H: a signal that must change; small silicon diodes and transistors, data sheets; charge shared by two capacitors',
  check: (circuit) => SECOND_SWITCH_LIST.flatMap((own) => chargePumpFindings(circuit, own)),
};

function chargePumpFindings(circuit: Circuit, own: SecondSwitch): Finding[] {
  const { refs } = own;
  const held = netOf(circuit, `${refs.hold}.1`)?.name ?? own.nets.held;
  const structure = [...steadyFindings(circuit, own), ...diodeFindings(circuit, own)];
  const pump = chargePumpOf(circuit, own);
  if (pump === null) {
    const { coupling, hold, drive, bleed, rest, transistor } = refs;
    const why = `it needs ${coupling}, ${hold}, ${drive}, ${bleed}, ${rest} and ${transistor}.`;
    return [...structure, { part: '(charge pump)', net: held, why }];
  }
  const { firstV, leastV, closedV, opensS } = pump;
  const gateV = gateLowestV(circuit, own);
  const { collectorV } = ratingsOf(circuit, refs.transistor, 'bipolar') ?? { collectorV: 0 };
  const faults: (readonly [string, string] | null)[] = [
    firstV < closedV
      ? [
          refs.coupling,
          `the first rise gives ${volts(firstV)}; ${volts(closedV)} close the switch.`,
        ]
      : null,
    leastV < closedV
      ? [
          refs.hold,
          `before each rise ${volts(leastV)} are left; ${volts(closedV)} close the switch.`,
        ]
      : null,
    !(opensS <= SECOND_SWITCH.opensMaxS)
      ? [refs.hold, `the switch opens after ${opensS.toFixed(2)} s.`]
      : null,
    gateV < (closerOf(circuit, own)?.ratings.onAtGateV ?? 0)
      ? [refs.pull, `it leaves the gate ${volts(gateV)} at the lowest rail.`]
      : null,
    collectorV < RAIL.maxV * MARGIN.voltage ? [refs.transistor, `it bears ${collectorV} V.`] : null,
  ];
  const values = faults
    .filter((fault) => fault !== null)
    .map(([part, why]) => ({ part, net: held, why }));
  return [...structure, ...values];
}

/** Gate to source, V, with the transistor closed at the lowest rail. */
function gateLowestV(circuit: Circuit, { refs }: SecondSwitch): number {
  const pull = ratingsOf(circuit, refs.pull, 'resistor')?.ohm ?? Number.POSITIVE_INFINITY;
  const rest = ratingsOf(circuit, refs.rest, 'resistor')?.ohm ?? 0;
  const saturationV = ratingsOf(circuit, refs.transistor, 'bipolar')?.saturationV ?? 0;
  return ((RAIL.minV - saturationV) * rest) / (rest + pull);
}
