/** Mistakes in the second switches, their charge pumps, and the sense line. */
import { CIRCUIT } from '../circuit/circuit';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import type { Circuit } from '../circuit/kinds';
import { SECOND_SWITCHES, type SecondSwitch } from '../circuit/second-switches';
import { changed, type Mutation, moved, mutations, swapped, without } from './change';

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

const ways = mutations([
  ['no mat', without('HM1'), 'second-switch', 'Q5', 'MAT_SUPPLY'],
  ['no pump', without('M1'), 'second-switch', 'Q7', 'PUMP_SUPPLY'],
  ['a mat that is on no feed', relabelled('MAT_CUT'), 'second-switch', 'HM1', '(none)'],
  ['a pump that is on no feed', relabelled('PUMP_FEED'), 'second-switch', 'M1', '(none)'],
  ['the pump past its second switch', moved('F3.1', 'RAIL'), 'second-switch', 'M1', 'PUMP_FEED'],
  ['the mat past its second switch', moved('F2.1', 'RAIL'), 'second-switch', 'HM1', 'MAT_CUT'],
  [
    'the pump behind the second switch of the mat',
    moved('F3.1', 'MAT_SUPPLY'),
    'second-switch',
    'M1',
    'PUMP_FEED',
  ],
  [
    'the mat behind the second switch of the pump',
    moved('F2.1', 'PUMP_SUPPLY'),
    'second-switch',
    'HM1',
    'MAT_CUT',
  ],
  [
    'the controller behind the second switch of the mat',
    moved('F4.1', 'MAT_SUPPLY'),
    'second-switch',
    'A2',
    'BUCK_FEED',
  ],
  [
    'the controller behind the second switch of the pump',
    moved('F4.1', 'PUMP_SUPPLY'),
    'second-switch',
    'A2',
    'BUCK_FEED',
  ],
  [
    'the controls of the second switches exchanged',
    swapped(`A1.${boardPin('feed')}`, `A1.${boardPin('arm')}`),
    'firmware-pins',
    'A1',
    'ARM',
  ],
]);

const senseLine = mutations([
  [
    'no test point at the supply of the mat',
    without('TP12'),
    'test-points',
    '(test point)',
    'MAT_SUPPLY',
  ],
  [
    'no test point at the feed of the pump',
    without('TP14'),
    'test-points',
    '(test point)',
    'PUMP_FEED',
  ],
  [
    'no test point at its hold capacitor',
    without('TP13'),
    'test-points',
    '(test point)',
    'ARM_HOLD',
  ],
  ['no resistor from the feed of the loads', without('R27'), 'loads-sense', 'A1', 'LOADS_SUM'],
  ['no resistor from behind the fuse of the mat', without('R29'), 'loads-sense', 'A1', 'LOADS_SUM'],
  ['no resistor from the low side of the mat', without('R30'), 'loads-sense', 'A1', 'LOADS_SUM'],
  [
    'nothing between the sum and the pin that looks',
    without('R31'),
    'loads-sense',
    'A1',
    'LOADS_SUM',
  ],
  ['nothing below the pin that looks', without('R28'), 'loads-sense', 'A1', 'LOADS_SENSE'],
  ['nothing that pulls an open mat up', without('R32'), 'loads-sense', 'A1', 'MAT_LOW'],
  ['nothing that pulls an open mat down', without('R33'), 'loads-sense', 'A1', 'MAT_LOW'],
  [
    'the feed weighed like the fuse',
    changed('R27', { ohm: 100_000 }),
    'loads-sense',
    'R27',
    'LOADS_SUM',
  ],
  [
    'the fuse weighed like the feed',
    changed('R29', { ohm: 240_000 }),
    'loads-sense',
    'R29',
    'LOADS_SUM',
  ],
  [
    'the switch weighed like the fuse',
    changed('R30', { ohm: 100_000 }),
    'loads-sense',
    'R30',
    'LOADS_SUM',
  ],
  [
    'a wire in place of the resistor between sum and pin',
    changed('R31', { ohm: 1 }),
    'loads-sense',
    'R31',
    'LOADS_SUM',
  ],
  [
    'a divider that gives a surge to the pin',
    changed('R28', { ohm: 10_000 }),
    'loads-sense',
    'R28',
    'LOADS_SENSE',
  ],
  [
    'a pull of 100 kΩ at the mat',
    changed('R32', { ohm: 100_000 }),
    'loads-sense',
    'R32',
    'MAT_LOW',
  ],
  ['a pull that holds a contactor', changed('R33', { ohm: 1000 }), 'loads-sense', 'R33', 'MAT_LOW'],
  [
    'the sum fed from the rail itself, before the second switch',
    moved('R27.1', 'RAIL'),
    'loads-sense',
    'R27',
    'LOADS_SUM',
  ],
  ['the fuse passed by', moved('R29.1', 'MAT_SUPPLY'), 'loads-sense', 'A1', 'LOADS_SUM'],
  [
    'the low side of the pump weighed',
    moved('R30.1', 'PUMP_LOW'),
    'loads-sense',
    'R30',
    'LOADS_SUM',
  ],
  [
    'the pin that looks on the sum',
    moved('X1.SENSE', 'LOADS_SUM', moved(`A1.${SENSE_PIN}`, 'LOADS_SUM')),
    'loads-sense',
    'A1',
    'LOADS_SUM',
  ],
  ['the pull up from behind the fuse', moved('R32.1', 'MAT_FEED'), 'loads-sense', 'A1', 'MAT_LOW'],
  ['both pulls up', moved('R33.2', 'MAT_SUPPLY'), 'loads-sense', 'A1', 'MAT_LOW'],
  [
    'a Schottky diode beside the mat again',
    changed('D1', { style: 'schottky' }),
    'loads-sense',
    'D1',
    'MAT_LOW',
  ],
  ['no resistor from the feed of the pump', without('R40'), 'loads-sense', 'A1', 'LOADS_SUM'],
  ['nothing that grounds the feed of the pump', without('R41'), 'loads-sense', 'A1', 'PUMP_FEED'],
  [
    'the feed of the pump grounded by 1 MΩ',
    changed('R41', { ohm: 1e6 }),
    'loads-sense',
    'R41',
    'PUMP_FEED',
  ],
  [
    'the feed of the pump weighed like the fuse',
    changed('R40', { ohm: 100_000 }),
    'loads-sense',
    'R40',
    'LOADS_SUM',
  ],
  [
    'the fuse of the pump passed by',
    moved('R40.1', 'PUMP_SUPPLY'),
    'loads-sense',
    'R40',
    'LOADS_SUM',
  ],
]);

export const FEED: readonly Mutation[] = [
  ...ofSecondSwitch('mat', SECOND_SWITCHES.mat),
  ...ofSecondSwitch('pump', SECOND_SWITCHES.pump),
  ...ways,
  ...senseLine,
];
