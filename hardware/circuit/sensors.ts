/** What the controller senses: two NTC probes and the bridge of the load cell. */
import { PROBE_REFERENCE_OHM } from '../../shared/board/map';
import type { Part, Place, RatingsOf } from './kinds';
import { capacitor, part, referenceResistor, resistor, testPoint } from './make';
import type { Joins } from './nets';

/** Both probes: 10 k at 25 C, B25/85 3977 K; dissipation of a sheathed bead in wet wool. */
export const PROBE_RATINGS: RatingsOf<'thermistor'> = {
  kind: 'thermistor',
  ohmAt25C: 10_000,
  tolerance: 0.01,
  b: 3977,
  bTolerance: 0.0075,
  dissipationMwPerK: 3,
};

const probe = (ref: string, place: Place, value: string, what: string): Part =>
  part(
    ref,
    'probes',
    place,
    value,
    PROBE_RATINGS,
    { 1: 'passive', 2: 'passive' },
    {
      what,
      substitutes:
        'NTC 10 kΩ with B25/85 3977 K ± 0.75 %; another B needs another curve in the firmware',
    },
  );

export const probeParts: readonly Part[] = [
  referenceResistor('R7', 'signal-board', PROBE_REFERENCE_OHM),
  referenceResistor('R8', 'signal-board', PROBE_REFERENCE_OHM),
  resistor('R15', 'probes', 'signal-board', 1000),
  resistor('R16', 'probes', 'signal-board', 1000),
  capacitor('C4', 'probes', 'signal-board', 100e-9, 50, 'X7R ceramic'),
  capacitor('C5', 'probes', 'signal-board', 100e-9, 50, 'X7R ceramic'),
  probe(
    'TH1',
    'tray',
    'probe 10 kΩ',
    'Probe: NTC 10 kΩ 1 %, B25/85 3977 K, in a sealed steel sheath, 2 m two-core lead',
  ),
  probe(
    'TH2',
    'mat',
    'mat probe 10 kΩ',
    'Mat probe: NTC 10 kΩ 1 %, B25/85 3977 K, flat or ring tag, sealed, 2 m two-core lead',
  ),
  testPoint('TP7', 'probes', 'signal-board', 'VREF'),
  testPoint('TP8', 'probes', 'signal-board', 'PROBE'),
  testPoint('TP9', 'probes', 'signal-board', 'MAT PROBE'),
];

export const probeJoins: Joins = {
  ADC_REFERENCE: ['R7.1', 'R8.1', 'TP7.1'],
  PROBE: ['R7.2', 'R15.1', 'X2.PROBE', 'TH1.1', 'TP8.1'],
  PROBE_ADC: ['R15.2', 'C4.1', 'X2.ADC0'],
  MAT_PROBE: ['R8.2', 'R16.1', 'X2.MATPR', 'TH2.1', 'TP9.1'],
  MAT_PROBE_ADC: ['R16.2', 'C5.1', 'X2.ADC1'],
  QUIET_GROUND: ['X2.PROBE-', 'TH1.2', 'X2.MATPR-', 'TH2.2', 'C4.2', 'C5.2'],
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
      what: 'Single-point load cell, aluminium, 1 or 2 mV/V, class C3 or its data, 350 or 1000 Ω, shielded lead; capacity from the build guide table',
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
