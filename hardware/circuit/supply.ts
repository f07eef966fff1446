/** 12 or 24 V in: main fuse, reverse polarity, surge, and the 5 V converter that feeds the controller. */
import type { Part } from './kinds';
import { capacitor, gateZener, part, railSwitch, resistor, testPoint } from './make';
import type { Joins } from './nets';
import { PLUG_HOLE_MM, PLUG_SEALS_MM, spanText } from './plugs';

export const supplyParts: readonly Part[] = [
  part(
    'J1',
    'supply',
    'panel',
    '12/24 V in',
    { kind: 'connector', family: 'dc-inlet', ratedA: 10, ratedV: 60 },
    { '+': 'source', '-': 'ground' },
    {
      what: `DC panel inlet, 2 poles, locking, sealed, 10 A, for a hole of ${PLUG_HOLE_MM['dc-inlet']} mm; its lead plug seals on a cable of ${spanText(PLUG_SEALS_MM['dc-inlet'])}`,
      substitutes: 'cable gland and a lead soldered to the supply unit',
    },
  ),
  part(
    'F1',
    'supply',
    'lead',
    '7.5 A',
    { kind: 'fuse', style: 'blade', ratedA: 7.5, ratedV: 32 },
    { 1: 'passive', 2: 'passive' },
    {
      what: 'Blade fuse 7.5 A, 32 V DC (ISO 8820-3), with in-line holder on 1 mm² leads',
      substitutes:
        'other fuse of 6 to 8 A whose DC rating is 32 V or more; never a mains glass fuse without a DC rating',
    },
  ),
  railSwitch('Q4', 'supply'),
  gateZener('D4', 'supply'),
  resistor('R9', 'supply', 'power-board', 100_000),
  part(
    'D5',
    'supply',
    'power-board',
    'suppressor 28 V',
    { kind: 'diode', style: 'suppressor', reverseV: 31.4, clampV: 34.7, ratedA: 13, forwardV: 1 },
    { A: 'passive', K: 'passive' },
    {
      what: 'Transient suppressor diode, one-way, 28 V stand-off (breakdown 31.4 to 34.7 V), 600 W',
      substitutes: 'the same stand-off in 400 W or 1500 W',
    },
  ),
  capacitor('C1', 'supply', 'power-board', 470e-6, 50, 'electrolytic'),
  part(
    'F4',
    'supply',
    'power-board',
    '0.5 A resettable',
    { kind: 'fuse', style: 'resettable', ratedA: 0.5, ratedV: 60 },
    { 1: 'passive', 2: 'passive' },
    {
      what: 'Resettable fuse, holds 0.5 A, 60 V',
      substitutes: 'blade fuse 1 A in a holder',
    },
  ),
  part(
    'A2',
    'supply',
    'five-volt',
    '5 V converter',
    { kind: 'module' },
    { 'IN+': 'sink', 'IN-': 'ground', 'OUT+': 'source', 'OUT-': 'ground' },
    {
      what: 'Step-down converter module, 8 to 36 V in (40 V surge), 5.0 V out, 1 A, current-limited below 3 A',
      substitutes: 'any with the same ratings; set and measure 5.0 V before connecting anything',
    },
  ),
  part(
    'D6',
    'supply',
    'power-board',
    'Schottky 1 A',
    { kind: 'diode', style: 'schottky', reverseV: 40, ratedA: 1, forwardV: 0.45 },
    { A: 'passive', K: 'passive' },
    {
      what: 'Schottky diode 1 A, 40 V',
      substitutes: '20 V or more, 1 A or more, Schottky',
    },
  ),
  part(
    'D11',
    'supply',
    'power-board',
    'suppressor 5.8 V',
    { kind: 'diode', style: 'suppressor', reverseV: 6.4, clampV: 7.2, ratedA: 57, forwardV: 1 },
    { A: 'passive', K: 'passive' },
    {
      what: 'Transient suppressor diode, one-way, 5.8 V stand-off (breakdown 6.4 to 7.2 V), 600 W',
      substitutes: 'stand-off 5.0 to 5.8 V, 400 W or more',
    },
  ),
  testPoint('TP1', 'supply', 'power-board', 'RAIL'),
  testPoint('TP2', 'supply', 'power-board', '5 V'),
  testPoint('TP3', 'supply', 'power-board', 'GND'),
];

export const supplyJoins: Joins = {
  INLET: ['J1.+', 'F1.1'],
  FUSED: ['F1.2', 'X1.IN+', 'Q4.D'],
  RAIL: ['Q4.S', 'D4.K', 'D5.K', 'C1.+', 'F4.1', 'TP1.1'],
  REVERSE_GATE: ['Q4.G', 'D4.A', 'R9.1'],
  BUCK_FEED: ['F4.2', 'X1.BUCK+', 'A2.IN+'],
  FIVE_VOLT: ['A2.OUT+', 'X1.5V', 'D6.A', 'D11.K', 'TP2.1'],
  BOARD_FEED: ['D6.K', 'X1.VSYS', 'A1.VSYS'],
  GROUND: [
    'J1.-',
    'X1.IN-',
    'R9.2',
    'D5.A',
    'C1.-',
    'X1.BUCK-',
    'A2.IN-',
    'A2.OUT-',
    'X1.GND',
    'D11.A',
    'TP3.1',
  ],
};
