/**
 * The circuit of each probe: from the ADC reference through the reference resistor to the probe, and from
 * there through a series resistor, with a capacitor and two clamping diodes, to the ADC input. Parts, nets and wires follow.
 */
import { type OfProbes, PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';
import type { Colour, Place } from './kinds';

interface ProbeCircuit {
  readonly reference: string;
  readonly series: string;
  readonly filter: string;
  /** Diodes at the ADC input, to its ground and to 3.3 V. */
  readonly clampLow: string;
  readonly clampHigh: string;
  readonly probe: string;
  readonly test: string;
  /** Its nets at the probe and at the ADC input. */
  readonly net: string;
  readonly adcNet: string;
  /** Terminals of the signal board: of the probe, its return with a minus, and of the ADC input. */
  readonly pole: string;
  readonly adcPole: string;
  /** The wire to the ADC input. */
  readonly colour: Colour;
  /** Position of the pin on the usual board, as in `BOARD_POSITIONS`. */
  readonly position: number;
  readonly place: Place;
  readonly value: string;
  readonly what: string;
  /** At the test point. */
  readonly marked: string;
}

export const PROBE_CIRCUITS = {
  rootZone: {
    reference: 'R7',
    series: 'R15',
    filter: 'C4',
    clampLow: 'D7',
    clampHigh: 'D8',
    probe: 'TH1',
    test: 'TP8',
    net: 'PROBE',
    adcNet: 'PROBE_ADC',
    pole: 'PROBE',
    adcPole: 'ADC0',
    colour: 'WH',
    position: 31,
    place: 'tray',
    value: 'probe 10 kΩ',
    what: 'Probe: NTC 10 kΩ 1 %, B25/85 3977 K, in a sealed steel sheath, with a round two-core lead of 2 m, 3 to 6 mm thick',
    marked: 'PROBE',
  },
  mat: {
    reference: 'R8',
    series: 'R16',
    filter: 'C5',
    clampLow: 'D9',
    clampHigh: 'D10',
    probe: 'TH2',
    test: 'TP9',
    net: 'MAT_PROBE',
    adcNet: 'MAT_PROBE_ADC',
    pole: 'MATPR',
    adcPole: 'ADC1',
    colour: 'VT',
    position: 32,
    place: 'mat',
    value: 'mat probe 10 kΩ',
    what: 'Mat probe: NTC 10 kΩ 1 %, B25/85 3977 K, flat or ring tag, sealed, with a round two-core lead of 2 m for 80 °C, 3 to 6 mm thick',
    marked: 'MAT PROBE',
  },
} as const satisfies OfProbes<ProbeCircuit>;

/** The circuits in the order of their ADC channels. */
export const PROBE_LIST = Object.values(PROBE_CIRCUITS);

type AnyProbe = (typeof PROBE_CIRCUITS)[ProbeName];
export type ProbeNet = AnyProbe['net'] | AnyProbe['adcNet'];

/** The controller board's name of a probe's pin: `GP26`. */
export const probePin = (name: ProbeName): string => `GP${PROBES[name].gpio}`;

/** Every probe's pin of the controller board with its position. */
export const PROBE_POSITIONS: Readonly<Record<string, number>> = Object.fromEntries(
  PROBE_NAMES.map((name) => [probePin(name), PROBE_CIRCUITS[name].position]),
);
