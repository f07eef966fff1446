/** Mistakes in the second switches, their charge pumps, and the sense line. */
import { CIRCUIT } from '../circuit/circuit';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import type { Circuit, PinRef } from '../circuit/kinds';
import { SECOND_SWITCHES, type SecondSwitch } from '../circuit/second-switches';
import { changed, type Mutation, moved, mutations, type Row, swapped, without } from './change';

/** What a hand can do to either second switch. */
function ofSecondSwitch(name: string, { refs, nets }: SecondSwitch): readonly Mutation[] {
  const { coupling, hold, drive, bleed, transistor, pull, rest, clamp, closer } = refs;
  const { supply, gate, held, base } = nets;
  const rows = mutations([
    ['no second switch', without(closer), 'second-switch', '(none)', supply],
    [
      'the second switch turned round',
      swapped(`${closer}.D`, `${closer}.S`),
      'second-switch',
      closer,
      'RAIL',
    ],
    [
      'an N-channel part in its place',
      changed(closer, { channel: 'n' }),
      'second-switch',
      '(none)',
      supply,
    ],
    ['no resistor that holds it open', without(rest), 'second-switch', closer, gate],
    [
      'a resistor of 10 MΩ that holds it open',
      changed(rest, { ohm: 10e6 }),
      'second-switch',
      closer,
      gate,
    ],
    ['no zener at its gate, either', without(clamp), 'second-switch', closer, gate],
    ['that zener turned round', swapped(`${clamp}.A`, `${clamp}.K`), 'second-switch', closer, gate],
    [
      'the coupling capacitor passed by',
      moved(`${refs.guard}.2`, held),
      'charge-pump',
      coupling,
      base,
    ],
    ['no coupling capacitor', without(coupling), 'charge-pump', '(charge pump)', held],
    [
      'a coupling capacitor of 100 nF',
      changed(coupling, { farad: 100e-9 }),
      'charge-pump',
      coupling,
      held,
    ],
    ['no hold capacitor', without(hold), 'charge-pump', '(charge pump)', held],
    ['a hold capacitor of 22 µF', changed(hold, { farad: 22e-6 }), 'charge-pump', hold, held],
    ['a hold capacitor of 220 nF', changed(hold, { farad: 220e-9 }), 'charge-pump', hold, held],
    [
      'a Schottky diode in the pump',
      changed(refs.back, { style: 'schottky' }),
      'charge-pump',
      refs.back,
      '',
    ],
    [
      'its diode to ground turned round',
      swapped(`${refs.back}.A`, `${refs.back}.K`),
      'charge-pump',
      refs.back,
      '',
    ],
    ['no diode to ground', without(refs.back), 'charge-pump', refs.back, ''],
    [
      'its other diode turned round',
      swapped(`${refs.forward}.A`, `${refs.forward}.K`),
      'charge-pump',
      refs.forward,
      held,
    ],
    ['a base resistor of 1 MΩ', changed(drive, { ohm: 1e6 }), 'charge-pump', coupling, ''],
    ['a bleed of 10 kΩ', changed(bleed, { ohm: 10_000 }), 'charge-pump', coupling, held],
    ['no bleed', without(bleed), 'charge-pump', '(charge pump)', held],
    ['a bleed of 1 MΩ', changed(bleed, { ohm: 1e6 }), 'charge-pump', hold, held],
    ['a gate resistor of 100 kΩ', changed(pull, { ohm: 100_000 }), 'charge-pump', pull, ''],
    [
      'a transistor of 25 V',
      changed(transistor, { collectorV: 25 }),
      'charge-pump',
      transistor,
      held,
    ],
    ['no guard in the pin', changed(refs.guard, { ohm: 10 }), 'pin-currents', 'A1', nets.pin],
    [
      'nothing that grounds a broken control wire',
      without(refs.ground),
      'defined-inputs',
      'A1',
      nets.pin,
    ],
    ['a hot second switch', changed(closer, { onOhm: 0.2 }), 'cool-enough', closer, supply],
  ]);
  return rows.map((row) => ({ ...row, what: `${name}: ${row.what}` }));
}

/** The circuit with a net called something that carries no load. */
const relabelled = (name: string): Circuit => ({
  ...CIRCUIT,
  nets: CIRCUIT.nets.map((net) => (net.name === name ? { ...net, use: 'sense' } : net)),
});

/** A load: its part, the pin of its fuse on the side of the second switch, and its feed behind that fuse. */
interface FedLoad {
  readonly part: string;
  readonly fuse: PinRef;
  readonly feed: string;
}

const FED: Readonly<Record<keyof typeof SECOND_SWITCHES, FedLoad>> = {
  mat: { part: 'HM1', fuse: 'F2.1', feed: 'MAT_CUT' },
  pump: { part: 'M1', fuse: 'F3.1', feed: 'PUMP_FEED' },
};

/** How a load, or the controller, may come to lie on the wrong side of a second switch. */
function waysPast(name: keyof typeof FED, other: keyof typeof FED): readonly Mutation[] {
  const { part, fuse, feed } = FED[name];
  const { refs, nets } = SECOND_SWITCHES[name];
  const { supply } = SECOND_SWITCHES[other].nets;
  return mutations([
    [`no ${name}`, without(part), 'second-switch', refs.closer, nets.supply],
    [`a ${name} that is on no feed`, relabelled(feed), 'second-switch', part, '(none)'],
    [`the ${name} past its second switch`, moved(fuse, 'RAIL'), 'second-switch', part, feed],
    [
      `the ${name} behind the second switch of the ${other}`,
      moved(fuse, supply),
      'second-switch',
      part,
      feed,
    ],
    [
      `the controller behind the second switch of the ${name}`,
      moved('F4.1', nets.supply),
      'second-switch',
      'A2',
      'BUCK_FEED',
    ],
  ]);
}

const exchanged = mutations([
  [
    'the controls of the second switches exchanged',
    swapped(`A1.${boardPin('feed')}`, `A1.${boardPin('arm')}`),
    'firmware-pins',
    'A1',
    'ARM',
  ],
]);

/** Test points, and the nets that nobody could measure without them. */
const UNMEASURED: readonly (readonly [what: string, ref: string, net: string])[] = [
  ['no test point at the supply of the mat', 'TP12', 'MAT_SUPPLY'],
  ['no test point at the feed of the pump', 'TP14', 'PUMP_FEED'],
  ['no test point at its hold capacitor', 'TP13', 'ARM_HOLD'],
];

/** Resistors of the sense line, and the nets at which they are missed. */
const MISSING: readonly (readonly [what: string, ref: string, net: string])[] = [
  ['no resistor from the feed of the loads', 'R27', 'LOADS_SUM'],
  ['no resistor from behind the fuse of the mat', 'R29', 'LOADS_SUM'],
  ['no resistor from the low side of the mat', 'R30', 'LOADS_SUM'],
  ['no resistor from the feed of the pump', 'R40', 'LOADS_SUM'],
  ['nothing between the sum and the pin that looks', 'R31', 'LOADS_SUM'],
  ['nothing below the pin that looks', 'R28', 'LOADS_SENSE'],
  ['nothing that pulls an open mat up', 'R32', 'MAT_LOW'],
  ['nothing that pulls an open mat down', 'R33', 'MAT_LOW'],
  ['nothing that grounds the feed of the pump', 'R41', 'PUMP_FEED'],
];

/** The same of another value, ohm, and the nets that they falsify. */
const OF_OTHER_VALUE: readonly (readonly [what: string, ref: string, ohm: number, net: string])[] =
  [
    ['the feed weighed like the fuse', 'R27', 100_000, 'LOADS_SUM'],
    ['the fuse weighed like the feed', 'R29', 240_000, 'LOADS_SUM'],
    ['the switch weighed like the fuse', 'R30', 100_000, 'LOADS_SUM'],
    ['the feed of the pump weighed like the fuse', 'R40', 100_000, 'LOADS_SUM'],
    ['a wire in place of the resistor between sum and pin', 'R31', 1, 'LOADS_SUM'],
    ['a divider that gives a surge to the pin', 'R28', 10_000, 'LOADS_SENSE'],
    ['a pull of 100 kΩ at the mat', 'R32', 100_000, 'MAT_LOW'],
    ['a pull that holds a contactor', 'R33', 1000, 'MAT_LOW'],
    ['the feed of the pump grounded by 1 MΩ', 'R41', 1e6, 'PUMP_FEED'],
  ];

/** The same from another net; the part and the net that the rule names. */
const ELSEWHERE: readonly (readonly [
  what: string,
  pin: PinRef,
  to: string,
  part: string,
  net: string,
])[] = [
  [
    'the sum fed from the rail itself, before the second switch',
    'R27.1',
    'RAIL',
    'R27',
    'LOADS_SUM',
  ],
  ['the fuse passed by', 'R29.1', 'MAT_SUPPLY', 'A1', 'LOADS_SUM'],
  ['the fuse of the pump passed by', 'R40.1', 'PUMP_SUPPLY', 'R40', 'LOADS_SUM'],
  ['the low side of the pump weighed', 'R30.1', 'PUMP_LOW', 'R30', 'LOADS_SUM'],
  ['the pull up from behind the fuse', 'R32.1', 'MAT_FEED', 'A1', 'MAT_LOW'],
  ['both pulls up', 'R33.2', 'MAT_SUPPLY', 'A1', 'MAT_LOW'],
];

const senseLine = mutations([
  ...UNMEASURED.map(
    ([what, ref, net]): Row => [what, without(ref), 'test-points', '(test point)', net],
  ),
  ...MISSING.map(([what, ref, net]): Row => [what, without(ref), 'loads-sense', 'A1', net]),
  ...OF_OTHER_VALUE.map(
    ([what, ref, ohm, net]): Row => [what, changed(ref, { ohm }), 'loads-sense', ref, net],
  ),
  ...ELSEWHERE.map(
    ([what, pin, to, part, net]): Row => [what, moved(pin, to), 'loads-sense', part, net],
  ),
  [
    'the pin that looks on the sum',
    moved('X1.SENSE', 'LOADS_SUM', moved(`A1.${SENSE_PIN}`, 'LOADS_SUM')),
    'loads-sense',
    'A1',
    'LOADS_SUM',
  ],
  [
    'a Schottky diode beside the mat again',
    changed('D1', { style: 'schottky' }),
    'loads-sense',
    'D1',
    'MAT_LOW',
  ],
]);

export const FEED: readonly Mutation[] = [
  ...ofSecondSwitch('mat', SECOND_SWITCHES.mat),
  ...ofSecondSwitch('pump', SECOND_SWITCHES.pump),
  ...waysPast('mat', 'pump'),
  ...waysPast('pump', 'mat'),
  ...exchanged,
  ...senseLine,
];
