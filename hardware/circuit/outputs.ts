/** What the controller switches: mat, pump, sounder. Each is off while its control wire hangs free. */
import type { Block, Part, RatingsOf } from './kinds';
import { capacitor, part, resistor, signalDiode, smallNpn, testPoint } from './make';
import type { Joins } from './nets';
import { PLUG_HOLE_MM, PLUG_SEALS_MM, spanText } from './plugs';

/** Current each output is built for. */
export const OUTPUT_RATING_A = { mat: 3, pump: 0.5 } as const;

/**
 * The switch of mat and pump. What matters is the gate voltage at which the data sheet states the
 * on-resistance: "logic level" on the front page often means 4.5 V, which 3.3 V does not reach.
 */
const SWITCH: RatingsOf<'mosfet'> = {
  kind: 'mosfet',
  channel: 'n',
  drainSourceV: 40,
  gateSourceMaxV: 12,
  onOhm: 0.03,
  onAtGateV: 2.8,
  hotFactor: 1.6,
  thresholdMinV: 0.6,
  thresholdPerK: -0.003,
  gateLeakageA: 200e-9,
  // SO-8 on an adapter with little copper: makers' sheets give 50 on 6 cm2, 90 to 110 on the smallest pad.
  thermalKPerW: 110,
  junctionMaxC: 150,
};

/**
 * A thermal link of Tf 73 °C: IEC 60691 lets it open from 10 K below that on. Manual-reset cut-outs are sold with
 * alternating-current ratings only, and their button needs more room than the foam gives.
 */
export const CUT_OUT: RatingsOf<'cut-out'> = {
  kind: 'cut-out',
  opensC: 68,
  toleranceK: 5,
  holdsC: 57,
  resets: 'never',
  ratedA: 5,
  ratedV: 24,
};

/** Silicon: D1 hangs beside the sense line's pulls. */
const freewheel = (ref: string, block: Block): Part =>
  part(
    ref,
    block,
    'power-board',
    'ultra-fast 3 A',
    { kind: 'diode', style: 'silicon', reverseV: 200, ratedA: 3, forwardV: 1.1 },
    { A: 'passive', K: 'passive' },
    {
      what: 'Ultra-fast silicon diode 3 A, 200 V, its sheet stating 100 µA or less at 100 °C',
      substitutes:
        '100 V or more; no Schottky diode: hot, it leaks so much that an open lead looks sound',
    },
  );

const fuse = (ref: string, block: Block, ratedA: number, which = ''): Part =>
  part(
    ref,
    block,
    'power-board',
    `${ratedA} A`,
    { kind: 'fuse', style: 'blade', ratedA, ratedV: 32 },
    { 1: 'passive', 2: 'passive' },
    {
      what: `Blade fuse ${ratedA} A, 32 V DC (ISO 8820-3), with board holder${which}`,
      substitutes: 'another fuse of the same current rated 32 V DC or more; never a larger one',
    },
  );

const mosfet = (ref: string, block: Block): Part =>
  part(
    ref,
    block,
    'power-board',
    'N-channel 40 V',
    SWITCH,
    { G: 'input', D: 'passive', S: 'passive' },
    {
      what: 'N-channel MOSFET, 40 V, 30 mΩ or less stated at 2.8 V gate (not only at 4.5 V), SO-8; for the strip board on a 2.54 mm adapter',
      substitutes:
        '30 V parts stated at 2.5 V for a 12 V rail only; 60 V parts if stated at 3 V or less',
    },
  );

export const matParts: readonly Part[] = [
  resistor('R1', 'mat', 'power-board', 100),
  resistor('R2', 'mat', 'power-board', 10_000),
  mosfet('Q1', 'mat'),
  freewheel('D1', 'mat'),
  fuse(
    'F2',
    'mat',
    4,
    '; for a mat below 3 A the smaller one that `trayward hardware check` names',
  ),
  part(
    'J2',
    'mat',
    'panel',
    'mat',
    { kind: 'connector', family: 'round-2-pole-a', ratedA: 5, ratedV: 60 },
    { 1: 'passive', 2: 'passive' },
    {
      what: `Panel connector with plug, 2 poles, sealed (IP67 mated), 5 A, for a hole of ${PLUG_HOLE_MM['round-2-pole-a']} mm; its lead plug seals on a cable of ${spanText(PLUG_SEALS_MM['round-2-pole-a'])}`,
      substitutes: 'another family that does not fit J1 or J3, nor their holes',
    },
  ),
  part(
    'TC1',
    'mat',
    'mat',
    'Tf 73 °C',
    CUT_OUT,
    { 1: 'passive', 2: 'passive' },
    {
      what: 'Thermal link (one-shot, IEC 60691 or UL 60691), axial, Tf 72 or 73 °C, holding temperature 55 °C or more, its data sheet stating 5 A or more at 24 V DC; with three crimp splices and heat-resistant sleeve',
      substitutes:
        'one stating the current of your mat in DC; a manual-reset cut-out of 63 to 73 °C only if its sheet states DC; a mat whose sheet says that its own cut-out of 63 to 73 °C does not reset; never one that resets by itself, never a rating in AC alone',
    },
  ),
  part(
    'HM1',
    'mat',
    'mat',
    'heat mat',
    { kind: 'load', ratedA: OUTPUT_RATING_A.mat, peakA: OUTPUT_RATING_A.mat, inductive: false },
    { 1: 'passive', 2: 'passive' },
    {
      what: 'Heat mat, 12 or 24 V DC like the supply, 3 A or less, of the W per square metre of tray that `trayward hardware check` asks for, its data sheet stating volts, watts, splash-proof (IP67), and continuous use on a combustible surface',
      substitutes:
        'silicone heater with a moulded lead; a contactor coil of a certified mains box (see CAUTIONS.md)',
    },
  ),
  testPoint('TP5', 'mat', 'power-board', 'MAT GATE'),
];

export const matJoins: Joins = {
  MAT: ['X1.MAT', 'R1.1'],
  MAT_GATE: ['R1.2', 'R2.1', 'Q1.G', 'TP5.1'],
  MAT_SUPPLY: ['F2.1'],
  MAT_FEED: ['F2.2', 'D1.K', 'X1.MAT+', 'J2.1', 'TC1.1'],
  MAT_CUT: ['TC1.2', 'HM1.1'],
  MAT_LOW: ['HM1.2', 'J2.2', 'X1.MAT-', 'D1.A', 'Q1.D'],
  GROUND: ['Q1.S', 'R2.2'],
};

export const pumpParts: readonly Part[] = [
  resistor('R3', 'pump', 'power-board', 100),
  resistor('R4', 'pump', 'power-board', 10_000),
  mosfet('Q2', 'pump'),
  freewheel('D2', 'pump'),
  fuse('F3', 'pump', 2),
  part(
    'J3',
    'pump',
    'panel',
    'pump',
    { kind: 'connector', family: 'round-2-pole-b', ratedA: 5, ratedV: 60 },
    { 1: 'passive', 2: 'passive' },
    {
      what: `Panel connector with plug, 2 poles, sealed (IP67 mated), 5 A, of another size than J2: for a hole of ${PLUG_HOLE_MM['round-2-pole-b']} mm; its lead plug seals on a cable of ${spanText(PLUG_SEALS_MM['round-2-pole-b'])}`,
      substitutes: 'another family that does not fit J1 or J2, nor their holes',
    },
  ),
  capacitor('C3', 'pump', 'reservoir', 100e-9, 50, 'X7R ceramic'),
  part(
    'M1',
    'pump',
    'reservoir',
    'dosing pump',
    { kind: 'load', ratedA: OUTPUT_RATING_A.pump, peakA: 1.5, inductive: true },
    { 1: 'passive', 2: 'passive' },
    {
      what: 'Peristaltic dosing pump, brushed DC motor, 12 or 24 V like the supply, 0.5 A or less, 20 to 100 ml/min',
      substitutes: 'any brushed peristaltic pump of that current; it is calibrated on the scale',
    },
  ),
  testPoint('TP6', 'pump', 'power-board', 'PUMP GATE'),
];

export const pumpJoins: Joins = {
  PUMP: ['X1.PUMP', 'R3.1'],
  PUMP_GATE: ['R3.2', 'R4.1', 'Q2.G', 'TP6.1'],
  PUMP_SUPPLY: ['F3.1'],
  PUMP_FEED: ['F3.2', 'D2.K', 'X1.PUMP+', 'J3.1', 'C3.1', 'M1.1'],
  PUMP_LOW: ['M1.2', 'C3.2', 'J3.2', 'X1.PUMP-', 'D2.A', 'Q2.D'],
  GROUND: ['Q2.S', 'R4.2'],
};

export const sounderParts: readonly Part[] = [
  resistor('R5', 'sounder', 'power-board', 2200),
  resistor('R6', 'sounder', 'power-board', 10_000),
  smallNpn('Q3', 'sounder'),
  signalDiode('D3', 'sounder'),
  part(
    'LS1',
    'sounder',
    'panel',
    'sounder',
    { kind: 'load', ratedA: 0.03, peakA: 0.03, inductive: true },
    { '+': 'passive', '-': 'passive' },
    {
      what: 'Sounder with its own oscillator (active), round, about 24 mm, with ears, its data sheet stating that it runs on 5 V, 30 mA or less, and 80 dB at 10 cm or more',
      substitutes: 'active piezo of 3 to 12 V; a bare piezo disc without oscillator stays silent',
    },
  ),
];

export const sounderJoins: Joins = {
  SOUNDER: ['X1.SND', 'R5.1'],
  SOUNDER_BASE: ['R5.2', 'R6.1', 'Q3.B'],
  FIVE_VOLT: ['X1.LS+', 'LS1.+', 'D3.K'],
  SOUNDER_LOW: ['LS1.-', 'X1.LS-', 'D3.A', 'Q3.C'],
  GROUND: ['Q3.E', 'R6.2'],
};
