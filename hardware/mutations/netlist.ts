/** Mistakes in the netlist as such, and in what it switches. */
import { CIRCUIT } from '../circuit/circuit';
import { boardPin } from '../circuit/controller';
import type { PinRef } from '../circuit/kinds';
import { changed, moved, mutations, swapped, without } from './change';

const MAT_PIN: PinRef = `A1.${boardPin('mat')}`;
const PUMP_PIN: PinRef = `A1.${boardPin('pump')}`;

export const NETLIST = mutations([
  ['a pin left in the air', moved('R2.1', 'NOWHERE'), 'every-pin-once', 'R2', '(none)'],
  [
    'a net that names a pin no part has',
    moved('Q1.X', 'MAT_GATE'),
    'every-pin-once',
    'Q1',
    'MAT_GATE',
  ],
  [
    'two parts of one name',
    { ...CIRCUIT, parts: [...CIRCUIT.parts, ...CIRCUIT.parts.slice(0, 1)] },
    'unique-references',
    'J1',
    '(any)',
  ],
  ['a probe without its reference resistor', without('R7'), 'driver-and-return', 'R15', 'PROBE'],
  ['a gate net driven by nothing', without('R1'), 'driver-and-return', 'R2', 'MAT_GATE'],
  ['a net with one pin only', moved('HM1.1', 'MAT_FEED'), 'driver-and-return', 'TC1', 'MAT_CUT'],
  ['mat and pump pins swapped', swapped(MAT_PIN, PUMP_PIN), 'firmware-pins', 'A1', 'PUMP'],
  ['no pull-up on the converter data line', without('R17'), 'defined-inputs', 'A1', 'SCALE_DATA'],
  ['no test point at the mat gate', without('TP5'), 'test-points', '(test point)', 'MAT_GATE'],
  ['no pull-down at the mat switch', without('R2'), 'pull-down', 'Q1', 'MAT_GATE'],
  ['no pull-down at the pump switch', without('R4'), 'pull-down', 'Q2', 'PUMP_GATE'],
  ['no pull-down at the sounder', without('R6'), 'pull-down', 'Q3', 'SOUNDER_BASE'],
  [
    'the pull-down on the far side of the control wire',
    moved('R2.1', 'MAT'),
    'pull-down',
    'Q1',
    'MAT_GATE',
  ],
  [
    'the pull-down on another board than its switch',
    changed('R2', { place: 'signal-board' }),
    'pull-down',
    'Q1',
    'MAT_GATE',
  ],
  ['a pull-up instead of a pull-down', moved('R2.2', 'FIVE_VOLT'), 'pull-down', 'Q1', 'MAT_GATE'],
  [
    'a switch whose source is not on ground',
    moved('Q1.S', 'PUMP_LOW'),
    'pull-down',
    'Q1',
    'PUMP_LOW',
  ],
  ['a pull-down of 1 MΩ', changed('R2', { ohm: 1e6 }), 'off-by-itself', 'Q1', 'MAT_GATE'],
  [
    'a MOSFET stated at 4.5 V only',
    changed('Q1', { onAtGateV: 4.5 }),
    'fully-on',
    'Q1',
    'MAT_GATE',
  ],
  [
    'a gate resistor that halves the drive',
    changed('R3', { ohm: 10_000 }),
    'fully-on',
    'Q2',
    'PUMP_GATE',
  ],
  ['a MOSFET of 150 mΩ', changed('Q1', { onOhm: 0.15 }), 'cool-enough', 'Q1', 'MAT_LOW'],
  [
    'a 30 V MOSFET on a 24 V rail',
    changed('Q1', { drainSourceV: 30 }),
    'cool-enough',
    'Q1',
    'MAT_LOW',
  ],
  ['a hot reverse-polarity switch', changed('Q4', { onOhm: 0.2 }), 'cool-enough', 'Q4', 'FUSED'],
  ['no flyback diode at the pump', without('D2'), 'flyback', 'M1', 'PUMP_LOW'],
  ['the flyback diode turned round', swapped('D2.A', 'D2.K'), 'flyback', 'M1', 'PUMP_LOW'],
  ['a flyback diode of 20 V', changed('D2', { reverseV: 20 }), 'flyback', 'M1', 'PUMP_LOW'],
  ['the flyback diode to the wrong feed', moved('D2.K', 'MAT_FEED'), 'flyback', 'M1', 'PUMP_LOW'],
  ['no diode for a contactor in place of the mat', without('D1'), 'flyback', 'HM1', 'MAT_LOW'],
  ['a lamp resistor of 100 Ω', changed('R20', { ohm: 100 }), 'pin-currents', 'A1', 'LAMP'],
  ['a base without its resistor', moved('Q3.B', 'SOUNDER'), 'pin-currents', 'A1', 'SOUNDER'],
]);
