/** Circuits for the simulator, written from the netlist's own values. */
import { resistanceOhm } from '../../shared/physics/ntc';
import type { ProbeChannel } from '../budget/probe';
import { driveResistor, PAD_OHM, pullDowns } from '../checks/outputs';
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { ADC, LOGIC, RAIL } from '../circuit/limits';
import { OUTPUT_RATING_A } from '../circuit/outputs';
import { SECOND_SWITCHES } from '../circuit/second-switches';
import { switchModel } from './models';

/** Junction capacitances of a 40 V, 30 mΩ SO-8 switch, and a small motor's coil (data sheets; from memory). */
const GATE_DRAIN_F = 150e-12;
const GATE_SOURCE_F = 3e-9;
export const MOTOR_H = 5e-3;
/** Supply unit and lead while the inlet is plugged in live. */
const SUPPLY_OHM = 0.3;

const deck = (title: string, lines: readonly string[], control: readonly string[]): string =>
  [`* ${title}`, ...lines, '.control', ...control, 'quit', '.endc', '.end', ''].join('\n');

/** Voltages `v(a0)`, `v(a1)` ... at the ADC pin for probe temperatures, with `leakA` out of the pin. */
export function dividerDeck(
  channel: ProbeChannel,
  tempsC: readonly number[],
  leakA: number,
): string {
  const cells = tempsC.flatMap((tempC, i) => [
    `Rref${i} vref p${i} ${channel.referenceOhm}`,
    `Rntc${i} p${i} 0 ${resistanceOhm(tempC).toPrecision(9)}`,
    `Rser${i} p${i} a${i} ${channel.seriesOhm}`,
    `Cadc${i} a${i} 0 ${channel.filterFarad}`,
    `Ileak${i} 0 a${i} ${leakA}`,
  ]);
  return deck(
    'probe dividers, one for each temperature',
    [`Vref vref 0 ${LOGIC.nominalV}`, ...cells],
    ['op', ...tempsC.map((_, i) => `print v(a${i})`)],
  );
}

/** A burst of conversions at `tempC`: `before`, and the mean `during`, at the ADC pin. */
export function burstDeck(channel: ProbeChannel, tempC: number): string {
  const burstS = ADC.conversionS * ADC.conversionsPerBurst;
  return deck(
    'ADC input loaded by its sampling switch',
    [
      `Vref vref 0 ${LOGIC.nominalV}`,
      `Rref vref p ${channel.referenceOhm}`,
      `Rntc p 0 ${resistanceOhm(tempC).toPrecision(9)}`,
      `Rser p a ${channel.seriesOhm}`,
      `Cadc a 0 ${channel.filterFarad}`,
      `Rin a b ${ADC.inputOhmMin}`,
      'Sin b 0 go 0 closed',
      '.model closed sw(ron=1 roff=1e12 vt=0.5)',
      `Vgo go 0 pulse(0 1 1m 10n 10n ${burstS} 1)`,
    ],
    [
      'tran 0.5u 1.2m',
      'meas tran before find v(a) at=0.99m',
      `meas tran during avg v(a) from=1m to=${1e-3 + burstS}`,
    ],
  );
}

export type OffState = 'wire-broken' | 'in-reset' | 'unpowered';

function outputParts(circuit: Circuit, ref: string) {
  const part = findPart(circuit, ref);
  if (part === undefined || !isKind(part, 'mosfet')) throw new Error(`${ref} is no MOSFET`);
  return {
    part,
    driveOhm: driveResistor(circuit, part)?.ratings.ohm ?? 1e12,
    pullOhm: pullDowns(circuit, part)[0]?.ratings.ohm ?? 1e12,
  };
}

/**
 * Live plugging-in with nobody driving the gate: `gatepeak` in V, and the load's current `idle` at the
 * end, A. Leakage of pad and gate pulls up, the rail's rise couples in through the switch.
 */
export function gateOffDeck(
  circuit: Circuit,
  ref: string,
  state: OffState,
  loadOhm: number,
): string {
  const { part, driveOhm, pullOhm } = outputParts(circuit, ref);
  const bulk = findPart(circuit, 'C1');
  const bulkF = bulk !== undefined && isKind(bulk, 'capacitor') ? bulk.ratings.farad : 1e-9;
  const pad = {
    'wire-broken': [],
    'in-reset': [
      `Vlog log 0 ${LOGIC.nominalV}`,
      `Ipad log pin ${LOGIC.leakageA}`,
      `Rpad pin 0 ${LOGIC.padPullMaxOhm}`,
    ],
    // The pad's diode into a dead 3.3 V rail is the only thing left, and it helps: left out.
    unpowered: [`Ipad 0 pin ${LOGIC.leakageA}`],
  }[state];
  return deck(
    `${ref} with the controller ${state}`,
    [
      `Vin in 0 pwl(0 0 1u ${RAIL.maxV} 1 ${RAIL.maxV})`,
      `Rin in rail ${SUPPLY_OHM}`,
      `Cbulk rail 0 ${bulkF} ic=0`,
      `Rload rail drain ${loadOhm}`,
      'M1 drain gate 0 0 sw1',
      switchModel('sw1', part.ratings),
      `Cgd drain gate ${GATE_DRAIN_F}`,
      `Cgs gate 0 ${GATE_SOURCE_F}`,
      `Rdrive pin gate ${driveOhm}`,
      `Rpull gate 0 ${pullOhm}`,
      `Igate 0 gate ${part.ratings.gateLeakageA}`,
      'Rfloat pin 0 1e12',
      ...pad,
    ],
    [
      'tran 1u 100m 0 5u uic',
      'meas tran gatepeak max v(gate)',
      `let current = (v(rail)-v(drain))/${loadOhm}`,
      'meas tran idle find current at=99m',
    ],
  );
}

/** Switching the pump off at `amps`: `drainpeak`, V, with the flyback diode or without. */
export function flybackDeck(circuit: Circuit, amps: number, withDiode: boolean): string {
  const { part, driveOhm, pullOhm } = outputParts(circuit, 'Q2');
  const diode = findPart(circuit, 'D2');
  const ratings = diode !== undefined && isKind(diode, 'diode') ? diode.ratings : null;
  return deck(
    'pump let go',
    [
      `Vrail rail 0 ${RAIL.maxV}`,
      `Rmotor rail mid ${RAIL.maxV / amps}`,
      `Lmotor mid drain ${MOTOR_H}`,
      ...(withDiode && ratings !== null ? ['D2 drain rail dfly'] : []),
      `.model dfly d(is=1e-8 rs=0.03 n=1.8 bv=${ratings?.reverseV ?? 60} cjo=150p)`,
      'M1 drain gate 0 0 sw1',
      switchModel('sw1', part.ratings),
      `Cgd drain gate ${GATE_DRAIN_F}`,
      `Cgs gate 0 ${GATE_SOURCE_F}`,
      'Cds drain 0 200p',
      `Rdrive pin gate ${driveOhm}`,
      `Rpull gate 0 ${pullOhm}`,
      `Vpin pin 0 pwl(0 0 1u ${LOGIC.nominalV} 10m ${LOGIC.nominalV} 10.001m 0 1 0)`,
    ],
    [
      'tran 0.2u 11m 0 1u',
      'meas tran drainpeak max v(drain)',
      'meas tran drainon find v(drain) at=9.9m',
    ],
  );
}

/** How the pin of a second switch moves. Times in s from 0.1 on. */
export type PinMoves =
  | { readonly kind: 'toggles'; readonly everyS: number; readonly untilS: number }
  /** Up once, and held there; or held low from the start; or let go, with what a broken wire picks up. */
  | { readonly kind: 'rises' | 'low' | 'hangs-free' };

/** The parts at the ends of what may be bought, and the box hot or cold. */
export interface PumpParts {
  readonly gain: number;
  readonly pinV: number;
  readonly celsius: number;
  readonly couplingShare: number;
  readonly holdShare: number;
}

/** Amplitude of mains hum on a control wire in the air beside a lead, through 100 pF (common practice): µA at 50 Hz. */
const HUM_A = 10e-6;

const pinCard = (moves: PinMoves, highV: number): string => {
  if (moves.kind === 'hangs-free') return `Ihum 0 pin sin(0 ${HUM_A} 50)`;
  const points = ['0 0'];
  const edge = (atS: number, fromV: number): number => {
    const toV = fromV === 0 ? highV : 0;
    points.push(`${atS} ${fromV}`, `${atS + 1e-6} ${toV}`);
    return toV;
  };
  if (moves.kind === 'rises') edge(0.1, 0);
  if (moves.kind === 'toggles') {
    for (let atS = 0.1, v = 0; atS < moves.untilS; atS += moves.everyS) v = edge(atS, v);
  }
  return `Vpin drive 0 pwl(${points.join(' ')})\nRpad drive pin ${PAD_OHM}`;
};

/**
 * A second switch with a load behind it that is always on: `closed` and `opened` are when it reaches 90 % of the
 * rail and falls to 1 %, s; `least` is its lowest output while the pin toggles, V, from 0.3 s on; `left` what is
 * left at the end, V; `heat` what the switch turns into heat while it opens, J.
 */
export function chargePumpDeck(
  circuit: Circuit,
  output: keyof typeof SECOND_SWITCHES,
  moves: PinMoves,
  railV: number,
  { gain, pinV, celsius, couplingShare, holdShare }: PumpParts,
): string {
  const ohmOf = (ref: string): number => {
    const part = findPart(circuit, ref);
    return part !== undefined && isKind(part, 'resistor') ? part.ratings.ohm : 1e12;
  };
  const faradOf = (ref: string): number => {
    const part = findPart(circuit, ref);
    return part !== undefined && isKind(part, 'capacitor') ? part.ratings.farad : 1e-15;
  };
  const { refs } = SECOND_SWITCHES[output];
  const part = findPart(circuit, refs.closer);
  if (part === undefined || !isKind(part, 'mosfet')) throw new Error(`${refs.closer} is no MOSFET`);
  const untilS = moves.kind === 'toggles' ? moves.untilS : 1;
  const loadOhm = railV / OUTPUT_RATING_A[output];
  return deck(
    `the second switch of the ${output}`,
    [
      `.options temp=${celsius}`,
      pinCard(moves, pinV),
      `Rground pin 0 ${ohmOf(refs.ground)}`,
      `Rguard pin pulse ${ohmOf(refs.guard)}`,
      `Ccoupling pulse pump ${faradOf(refs.coupling) * couplingShare}`,
      'Dback 0 pump small',
      'Dforward pump hold small',
      `Chold hold 0 ${faradOf(refs.hold) * holdShare}`,
      `Rdrive hold base ${ohmOf(refs.drive)}`,
      `Rbleed base 0 ${ohmOf(refs.bleed)}`,
      'Qpull pull base 0 npn',
      `Rpull pull gate ${ohmOf(refs.pull)}`,
      `Rrest gate rail ${ohmOf(refs.rest)}`,
      'Dclamp gate rail zener',
      // Typical of small silicon diodes, at the end that leaks more.
      '.model small d(is=4e-9 n=1.75 rs=0.6)',
      '.model zener d(is=1e-12 bv=12 rs=5)',
      `.model npn npn(is=1e-14 bf=${gain})`,
      `Vrail rail 0 ${railV}`,
      'Mcloser out gate rail rail closer',
      switchModel('closer', part.ratings),
      `Cgs gate rail ${GATE_SOURCE_F}`,
      `Rload out 0 ${loadOhm}`,
    ],
    [
      'tran 0.5m 3 0 0.5m',
      `meas tran closed when v(out)=${0.9 * railV} rise=1`,
      `meas tran opened when v(out)=${0.01 * railV} fall=last`,
      `meas tran least min v(out) from=0.3 to=${untilS - 0.01}`,
      'meas tran left find v(out) at=2.9',
      'meas tran most max v(out)',
      `let watts = (v(rail)-v(out))*v(out)/${loadOhm}`,
      `meas tran heat integ watts from=${untilS} to=3`,
    ],
  );
}

/** The sounder told to sound with the weakest transistor: `v(low)` at its collector. */
export function sounderDeck(circuit: Circuit): string {
  const base = findPart(circuit, 'R5');
  const pull = findPart(circuit, 'R6');
  const sounder = findPart(circuit, 'LS1');
  const transistor = findPart(circuit, 'Q3');
  const ohmOf = (part: typeof base): number =>
    part !== undefined && isKind(part, 'resistor') ? part.ratings.ohm : 1e12;
  const amps = sounder !== undefined && isKind(sounder, 'load') ? sounder.ratings.ratedA : 0;
  const gain =
    transistor !== undefined && isKind(transistor, 'bipolar') ? transistor.ratings.gainMin : 0;
  return deck(
    'sounder',
    [
      'Vfive five 0 5',
      `Rload five low ${5 / amps}`,
      `Vpin pin 0 ${LOGIC.outputHighMinV}`,
      `Rbase pin base ${ohmOf(base)}`,
      `Rpull base 0 ${ohmOf(pull)}`,
      'Q1 low base 0 weak',
      `.model weak npn(is=1e-14 bf=${gain})`,
    ],
    ['op', 'print v(low)'],
  );
}
