/** What stands where on the wiring picture: boxes with their terminals, columns, and the lanes between them. */
import { PROBE_NAMES } from '../../shared/board/probes';
import { splitPin } from '../circuit/circuit';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import type { PinRef } from '../circuit/kinds';
import { PROBE_LIST, probePin } from '../circuit/probes';
import type { Point } from './svg';

/** A box with terminals down its left and right side. */
export interface Box {
  readonly ref: string;
  readonly title: string;
  readonly x: number;
  readonly width: number;
  readonly top: number;
  readonly left: readonly string[];
  readonly right: readonly string[];
}

/** From row to row, and from the top of a box to its first. Free rows are written as an empty name. */
export const STEP = 5.4;
export const FIRST = 4;

/** Columns from left to right: loads outside, wall, power side, controller, signal side, senses outside. */
export const LOADS = { x: 10, width: 16 };
export const WALL = { x: 54, width: 15 };
const POWER = { x: 95, width: 25 };
export const LOGIC = { x: 157, width: 34 };
const SIGNAL = { x: 213, width: 23 };
const SENSES = { x: 270, width: 16 };

const PROBE_PINS = PROBE_NAMES.map(probePin);
const SIGNAL_PINS = [
  boardPin('scaleClock'),
  boardPin('scaleData'),
  boardPin('linkTx'),
  boardPin('linkRx'),
];
const ADC_POLES = PROBE_LIST.map(({ adcPole }) => adcPole);
/** So far apart that each probe stands beside its poles. */
const PROBE_POLES = PROBE_LIST.flatMap(({ pole }) => [pole, `${pole}-`, '', '']).slice(0, -1);

const X1_TOP = 54;
export const A1_TOP = 70.2;
/** Top of a box whose first row is beside so many rows of a board. */
const beside = (top: number, rows: number): number => top + rows * STEP;
/** Rows of the power board that plugs and sounder stand beside, the pump's below the mat. */
const ROWS = { mat: 4, pump: 12, sounder: 16 } as const;
const A3_TOP = 138;
const BRIDGE_ROW = 5;

const free = (rows: number): string[] => Array.from({ length: rows }, () => '');

export const BOXES: readonly Box[] = [
  {
    ...LOADS,
    ref: 'TC1',
    title: 'TC1 link',
    top: beside(X1_TOP, ROWS.mat),
    left: [],
    right: ['1', '2'],
  },
  { ...LOADS, ref: 'HM1', title: 'HM1 heat mat', top: 97, left: [], right: ['1', '2'] },
  {
    ...LOADS,
    ref: 'M1',
    title: 'M1 pump, C3',
    top: beside(X1_TOP, ROWS.pump),
    left: [],
    right: ['1', '2'],
  },
  { ...WALL, ref: 'J1', title: 'J1 inlet', top: 30, left: [], right: ['+', '', '-'] },
  {
    ...WALL,
    ref: 'J2',
    title: 'J2 mat',
    top: beside(X1_TOP, ROWS.mat),
    left: ['1', '', '2'],
    right: ['1', '', '2'],
  },
  {
    ...WALL,
    ref: 'J3',
    title: 'J3 pump',
    top: beside(X1_TOP, ROWS.pump),
    left: ['1', '2'],
    right: ['1', '2'],
  },
  {
    ...WALL,
    ref: 'LS1',
    title: 'LS1 sounder',
    top: beside(X1_TOP, ROWS.sounder),
    left: [],
    right: ['+', '-'],
  },
  { ...POWER, ref: 'F1', title: 'F1 7.5 A, in line', top: 30, left: ['1', '2'], right: [] },
  {
    ...POWER,
    ref: 'X1',
    title: 'Power board X1',
    top: X1_TOP,
    left: [
      ...['IN+', 'IN-', ...free(2), 'MAT+', '', 'MAT-', ...free(5)],
      ...['PUMP+', 'PUMP-', ...free(2), 'LS+', 'LS-'],
    ],
    right: [
      ...['BUCK+', 'BUCK-', '5V', '', 'VSYS', ''],
      ...['MAT', 'PUMP', 'SND', 'FEED', 'ARM', 'GND', 'SENSE'],
    ],
  },
  {
    ...LOGIC,
    ref: 'A2',
    title: 'A2 5 V converter',
    top: 30,
    left: ['IN+', 'IN-', 'OUT+', 'OUT-'],
    right: [],
  },
  {
    ...LOGIC,
    ref: 'A1',
    title: 'A1 controller',
    top: A1_TOP,
    left: [
      ...['GND', 'VSYS', '', boardPin('mat'), boardPin('pump'), boardPin('sounder')],
      ...[boardPin('feed'), boardPin('arm'), 'GND3', SENSE_PIN],
    ],
    right: ['3V3', 'GND2', 'ADC_VREF', 'AGND', ...PROBE_PINS, ...SIGNAL_PINS],
  },
  {
    ...SIGNAL,
    ref: 'X2',
    title: 'Signal board X2',
    top: A1_TOP,
    left: ['3V3', 'GND', 'VREF', 'AGND', ...ADC_POLES, 'CLK', 'DATA', 'TX', 'RX'],
    right: [...PROBE_POLES, 'SC-V', 'SC-G', 'SC-CLK', 'SC-DATA'],
  },
  ...PROBE_LIST.map(
    ({ probe, pole, marked }): Box => ({
      ...SENSES,
      ref: probe,
      title: `${probe} ${marked.toLowerCase()}`,
      top: beside(A1_TOP, PROBE_POLES.indexOf(pole)),
      left: ['1', '2'],
      right: [],
    }),
  ),
  {
    ...SIGNAL,
    ref: 'A3',
    title: 'A3 bridge converter',
    top: A3_TOP,
    left: [],
    right: ['DT', 'SCK', 'GND', 'VCC', '', 'E+', 'E-', 'A+', 'A-'],
  },
  {
    ...SENSES,
    ref: 'LC1',
    title: 'LC1 load cell',
    top: beside(A3_TOP, BRIDGE_ROW),
    left: ['E+', 'E-', 'S+', 'S-'],
    right: [],
  },
];

/** Lanes between the columns, from x to x. */
const COLUMNS = [LOADS, WALL, POWER, LOGIC, SIGNAL, SENSES];
export const LANES = COLUMNS.slice(1).map(
  (column, i) => [(COLUMNS[i]?.x ?? 0) + (COLUMNS[i]?.width ?? 0), column.x] as const,
);

/** Where a pin of the picture is: at the side that looks at the other end, where it is at both. */
export function terminal(pin: PinRef, other: PinRef): Point | null {
  const { ref, pin: name } = splitPin(pin);
  const box = BOXES.find((one) => one.ref === ref);
  const otherX = BOXES.find((one) => one.ref === splitPin(other).ref)?.x ?? 0;
  if (box === undefined) return null;
  const sides = otherX < box.x ? (['left', 'right'] as const) : (['right', 'left'] as const);
  for (const side of sides) {
    const row = box[side].indexOf(name);
    if (row < 0) continue;
    return { x: side === 'left' ? box.x : box.x + box.width, y: box.top + FIRST + row * STEP };
  }
  return null;
}
