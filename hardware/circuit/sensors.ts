/** What the controller senses: the NTC probes and the bridge of the load cell. */
import { PROBE_REFERENCE_OHM } from '../../shared/board/map';
import type { Part, PinRef, RatingsOf } from './kinds';
import {
  capacitor,
  part,
  referenceResistor,
  resistor,
  SIGNAL_DIODE_BOUGHT,
  testPoint,
} from './make';
import type { Joins } from './nets';
import { PROBE_LIST } from './probes';

/** Every probe: 10 k at 25 C, B25/85 3977 K; dissipation of a sheathed bead in wet wool. */
export const PROBE_RATINGS: RatingsOf<'thermistor'> = {
  kind: 'thermistor',
  ohmAt25C: 10_000,
  tolerance: 0.01,
  b: 3977,
  bTolerance: 0.0075,
  dissipationMwPerK: 3,
};

const BOARD = 'signal-board';

/** What a spark or a pinched lead brings goes past the pin. Silicon: a Schottky diode leaks more than the ADC bears. */
const CLAMP: RatingsOf<'diode'> = {
  kind: 'diode',
  style: 'silicon',
  reverseV: 75,
  ratedA: 0.15,
  forwardV: 1,
};

export const probeParts: readonly Part[] = [
  ...PROBE_LIST.map(({ reference }) => referenceResistor(reference, BOARD, PROBE_REFERENCE_OHM)),
  ...PROBE_LIST.map(({ series }) => resistor(series, 'probes', BOARD, 1000)),
  ...PROBE_LIST.map(({ filter }) => capacitor(filter, 'probes', BOARD, 100e-9, 50, 'X7R ceramic')),
  ...PROBE_LIST.flatMap(({ clampLow, clampHigh }) => [clampLow, clampHigh]).map((ref) =>
    part(
      ref,
      'probes',
      BOARD,
      'signal diode',
      CLAMP,
      { A: 'passive', K: 'passive' },
      SIGNAL_DIODE_BOUGHT,
    ),
  ),
  ...PROBE_LIST.map(({ probe, place, value, what }) =>
    part(
      probe,
      'probes',
      place,
      value,
      PROBE_RATINGS,
      { 1: 'passive', 2: 'passive' },
      {
        what,
        substitutes:
          'NTC 10 kΩ with B25/85 3977 K ± 0.75 %; any other NTC of 2.2 to 68 kΩ at 25 °C, told to the board: trayward probe curve',
      },
    ),
  ),
  testPoint('TP7', 'probes', BOARD, 'VREF'),
  ...PROBE_LIST.map(({ test, marked }) => testPoint(test, 'probes', BOARD, marked)),
];

const joinsOf = (one: (typeof PROBE_LIST)[number]): Joins => ({
  [one.net]: [
    `${one.reference}.2`,
    `${one.series}.1`,
    `X2.${one.pole}`,
    `${one.probe}.1`,
    `${one.test}.1`,
  ],
  [one.adcNet]: [
    `${one.series}.2`,
    `${one.filter}.1`,
    `${one.clampLow}.K`,
    `${one.clampHigh}.A`,
    `X2.${one.adcPole}`,
  ],
});

export const probeJoins: Joins = {
  ADC_REFERENCE: [...PROBE_LIST.map(({ reference }): PinRef => `${reference}.1`), 'TP7.1'],
  ...Object.assign({}, ...PROBE_LIST.map(joinsOf)),
  QUIET_GROUND: [
    ...PROBE_LIST.flatMap(({ pole, probe }): PinRef[] => [`X2.${pole}-`, `${probe}.2`]),
    ...PROBE_LIST.flatMap(({ filter, clampLow }): PinRef[] => [`${filter}.2`, `${clampLow}.A`]),
  ],
  LOGIC_SUPPLY: PROBE_LIST.map(({ clampHigh }): PinRef => `${clampHigh}.K`),
};

export const scaleParts: readonly Part[] = [
  resistor('R19', 'scale', 'signal-board', 4.7),
  capacitor('C6', 'scale', 'signal-board', 10e-6, 16, 'electrolytic'),
  capacitor('C7', 'scale', 'signal-board', 100e-9, 50, 'X7R ceramic'),
  resistor('R17', 'scale', 'signal-board', 100_000),
  resistor('R18', 'scale', 'signal-board', 100_000),
  part(
    'A3',
    'scale',
    'bridge-module',
    '24-bit bridge converter',
    { kind: 'module' },
    {
      VCC: 'sink',
      GND: 'ground',
      SCK: 'input',
      DT: 'output',
      'E+': 'source',
      'E-': 'ground',
      'A+': 'analog',
      'A-': 'analog',
    },
    {
      what: 'Bridge converter module, 24 bits, gain 128, 10 samples/s, two-wire serial, 2.6 to 5.5 V',
      substitutes:
        'any module of the same converter type; check that its rate pin is set to 10 samples/s',
    },
  ),
  part(
    'LC1',
    'scale',
    'under-tray',
    'load cell',
    { kind: 'load-cell', bridgeOhm: 350 },
    { 'E+': 'passive', 'E-': 'passive', 'S+': 'passive', 'S-': 'passive' },
    {
      what: 'Single-point load cell, aluminium, 1 or 2 mV/V, class C3 or its data, 350 or 1000 Ω, round shielded lead, 3 to 6 mm thick; capacity from the build guide table',
      substitutes:
        'four half-bridge corner cells are no substitute: their creep and temperature data are not stated',
    },
  ),
  testPoint('TP10', 'scale', 'signal-board', 'SCALE 3.3 V'),
];

export const scaleJoins: Joins = {
  LOGIC_SUPPLY: ['R19.1', 'R17.1'],
  SCALE_SUPPLY: ['R19.2', 'C6.+', 'C7.1', 'X2.SC-V', 'A3.VCC', 'TP10.1'],
  SCALE_CLK: ['X2.CLK', 'R18.1', 'X2.SC-CLK', 'A3.SCK'],
  SCALE_DATA: ['X2.DATA', 'R17.2', 'X2.SC-DATA', 'A3.DT'],
  GROUND: ['R18.2', 'C6.-', 'C7.2', 'X2.SC-G', 'A3.GND'],
  BRIDGE_PLUS: ['A3.E+', 'LC1.E+'],
  BRIDGE_MINUS: ['A3.E-', 'LC1.E-'],
  SIGNAL_PLUS: ['A3.A+', 'LC1.S+'],
  SIGNAL_MINUS: ['A3.A-', 'LC1.S-'],
};
