/** The controller board, its lamp, the service header, and the two boards' terminals. */
import { LOADS_SENSE, PINS } from '../../shared/board/map';
import { PROBE_NAMES } from '../../shared/board/probes';
import type { Part, PinRef, PinRole } from './kinds';
import { part, resistor, testPoint } from './make';
import type { Joins, NetName } from './nets';
import { PROBE_CIRCUITS, PROBE_LIST, PROBE_POSITIONS, probePin } from './probes';

/** The net each firmware pin is on. `Record` makes a new pin in the map a type error here. */
export const PIN_NETS: Readonly<Record<keyof typeof PINS, NetName>> = {
  linkTx: 'LINK_TX',
  linkRx: 'LINK_RX',
  scaleClock: 'SCALE_CLK',
  scaleData: 'SCALE_DATA',
  mat: 'MAT',
  pump: 'PUMP',
  sounder: 'SOUNDER',
  feed: 'FEED',
  arm: 'ARM',
  lamp: 'LAMP',
};

const PIN_ROLES: Readonly<Record<keyof typeof PINS, PinRole>> = {
  linkTx: 'output',
  linkRx: 'input',
  scaleClock: 'output',
  scaleData: 'input',
  mat: 'output',
  pump: 'output',
  sounder: 'output',
  feed: 'output',
  arm: 'output',
  lamp: 'output',
};

const PIN_NAMES: readonly (keyof typeof PINS)[] = [
  'linkTx',
  'linkRx',
  'scaleClock',
  'scaleData',
  'mat',
  'pump',
  'sounder',
  'feed',
  'arm',
  'lamp',
];

/** The controller board's name of a firmware pin: `GP16` for the mat. */
export const boardPin = (name: keyof typeof PINS): string => `GP${PINS[name]}`;

/** The ADC's pin that looks at the supply of mat and pump. */
export const SENSE_PIN = `GP${LOADS_SENSE.gpio}` as const;

/** Position of the pins on the usual 40-pin RP2040 board, USB socket up, counted from top left. */
export const BOARD_POSITIONS: Readonly<Record<string, number>> = {
  GP0: 1,
  GP1: 2,
  GP2: 4,
  GP3: 5,
  GP4: 6,
  GP5: 7,
  GP6: 9,
  GP7: 10,
  GP8: 11,
  GP9: 12,
  GP10: 14,
  GP11: 15,
  GP12: 16,
  GP13: 17,
  GND: 38,
  GND3: 18,
  GP14: 19,
  GP15: 20,
  GP16: 21,
  GP17: 22,
  GND2: 23,
  GP18: 24,
  GP19: 25,
  GP20: 26,
  GP21: 27,
  GP22: 29,
  ...PROBE_POSITIONS,
  [SENSE_PIN]: 34,
  AGND: 33,
  ADC_VREF: 35,
  '3V3': 36,
  VSYS: 39,
};

const controllerPins: Readonly<Record<string, PinRole>> = {
  ...Object.fromEntries(PIN_NAMES.map((name) => [boardPin(name), PIN_ROLES[name]])),
  ...Object.fromEntries(PROBE_NAMES.map((name) => [probePin(name), 'analog' as const])),
  [SENSE_PIN]: 'analog',
  VSYS: 'sink',
  '3V3': 'source',
  ADC_VREF: 'source',
  GND: 'ground',
  GND2: 'ground',
  GND3: 'ground',
  AGND: 'ground',
};

const firmwareJoins: Joins = Object.fromEntries([
  ...PIN_NAMES.map((name): [NetName, readonly PinRef[]] => [
    PIN_NETS[name],
    [`A1.${boardPin(name)}`],
  ]),
  ...PROBE_NAMES.map((name): [NetName, readonly PinRef[]] => [
    PROBE_CIRCUITS[name].adcNet,
    [`A1.${probePin(name)}`],
  ]),
]);

const screw = { kind: 'connector', family: 'screw', ratedA: 10, ratedV: 60 } as const;
const poles = (...names: readonly string[]): Part['pins'] =>
  Object.fromEntries(names.map((name) => [name, 'passive' as const]));

export const controllerParts: readonly Part[] = [
  part('A1', 'controller', 'controller', 'RP2040 board', { kind: 'module' }, controllerPins, {
    what: 'RP2040 board, 40 pins, 2 MB flash (W25Q16JV, or its larger sisters to W25Q128JV), USB socket, own 3.3 V regulator, ADC reference brought out; with pin headers and a screw-terminal carrier',
    substitutes:
      'any RP2040 board with the same pins brought out and 2 to 16 MB of W25Q flash; not 1 MB (W25Q80)',
  }),
  resistor('R20', 'controller', 'controller', 470),
  part(
    'LED1',
    'controller',
    'controller',
    'lamp',
    { kind: 'lamp', ratedA: 0.01, forwardV: 1.9 },
    { A: 'passive', K: 'passive' },
    {
      what: `Lamp on the controller board (${boardPin('lamp')}), with its resistor`,
      substitutes: 'part of the board; nothing to buy',
    },
  ),
  part(
    'X1',
    'supply',
    'power-board',
    'terminals',
    screw,
    poles(
      'IN+',
      'IN-',
      'BUCK+',
      'BUCK-',
      '5V',
      'VSYS',
      'GND',
      'MAT+',
      'MAT-',
      'PUMP+',
      'PUMP-',
      'MAT',
      'PUMP',
      'SND',
      'FEED',
      'ARM',
      'SENSE',
      'LS+',
      'LS-',
    ),
    {
      what: 'Screw terminals, 5.08 mm pitch, 10 A, 19 poles: singles, or blocks as the picture of the board groups them',
      substitutes: 'any 5.08 mm terminals of 10 A or more',
    },
  ),
  part(
    'X2',
    'controller',
    'signal-board',
    'terminals',
    screw,
    poles(
      'VREF',
      'AGND',
      ...PROBE_LIST.map(({ adcPole }) => adcPole),
      ...PROBE_LIST.flatMap(({ pole }) => [pole, `${pole}-`]),
      '3V3',
      'GND',
      'CLK',
      'DATA',
      'TX',
      'RX',
      'SC-V',
      'SC-G',
      'SC-CLK',
      'SC-DATA',
    ),
    {
      what: 'Screw terminals, 5.08 mm pitch, 18 poles: singles, or blocks as the picture of the board groups them',
      substitutes: 'spring terminals of the same pitch',
    },
  ),
  resistor('R12', 'controller', 'signal-board', 1000),
  resistor('R13', 'controller', 'signal-board', 1000),
  resistor('R14', 'controller', 'signal-board', 10_000),
  part(
    'J8',
    'controller',
    'signal-board',
    'service',
    { kind: 'connector', family: 'pin-header-3', ratedA: 1, ratedV: 60 },
    { GND: 'passive', TX: 'passive', RX: 'passive' },
    {
      what: 'Pin header, 5 pins, 2.54 mm, second and fourth pulled out, marked TX RX GND',
      substitutes: 'three single pins 5.08 mm apart',
    },
  ),
  testPoint('TP4', 'controller', 'signal-board', '3.3 V'),
];

export const controllerJoins: Joins[] = [
  firmwareJoins,
  {
    LOADS_SENSE: [`A1.${SENSE_PIN}`],
    LAMP: ['R20.1'],
    LAMP_LED: ['R20.2', 'LED1.A'],
    LINK_TX: ['X2.TX', 'R12.1'],
    SERVICE_TX: ['R12.2', 'J8.TX'],
    LINK_RX: ['X2.RX', 'R13.1', 'R14.1'],
    SERVICE_RX: ['R13.2', 'J8.RX'],
    LOGIC_SUPPLY: ['A1.3V3', 'X2.3V3', 'R14.2', 'TP4.1'],
    GROUND: ['A1.GND', 'A1.GND2', 'A1.GND3', 'LED1.K', 'X2.GND', 'J8.GND'],
    QUIET_GROUND: ['A1.AGND', 'X2.AGND'],
    ADC_REFERENCE: ['A1.ADC_VREF', 'X2.VREF'],
  },
];
