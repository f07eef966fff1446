/** What the netlist has as one part and a board as several, and what boards have besides it. */
import { BOARD_POSITIONS, boardPin, SENSE_PIN } from '../circuit/controller';
import type { Part, PinRef } from '../circuit/kinds';

const TERMINALS = (poles: number): string =>
  `TerminalBlock_Phoenix:TerminalBlock_Phoenix_MKDS-1,5-${poles}-5.08_1x${String(poles).padStart(2, '0')}_P5.08mm_Horizontal`;

export const terminalsBought = (poles: number): string =>
  `Screw terminals in a row, 5.08 mm pitch, 10 A, ${poles} poles, wires from the side`;
const headerBought = (pins: number): string => `Pin header in a row, 2.54 mm pitch, ${pins} pins`;

interface Piece {
  readonly of: string;
  readonly bought: string;
  readonly ref: string;
  readonly pins: readonly string[];
  readonly footprint: string | null;
}

const SERVICE_PINS = { TX: ['1'], RX: ['3'], GND: ['5'] } as const;

/** Poles in the order in which they stand on the boards. What is at two edges of a board is two connectors there. */
export const PIECES: readonly Piece[] = [
  {
    of: 'X1',
    ref: 'X11',
    bought: terminalsBought(8),
    pins: ['IN+', 'IN-', 'MAT+', 'MAT-', 'PUMP+', 'PUMP-', 'LS+', 'LS-'],
    footprint: TERMINALS(8),
  },
  // Counted from below.
  {
    of: 'X1',
    ref: 'X12',
    bought: terminalsBought(11),
    pins: ['SENSE', 'ARM', 'FEED', 'SND', 'PUMP', 'MAT', 'GND', 'VSYS', '5V', 'BUCK-', 'BUCK+'],
    footprint: TERMINALS(11),
  },
  {
    of: 'X2',
    ref: 'X21',
    bought: terminalsBought(4),
    pins: ['MATPR-', 'MATPR', 'PROBE-', 'PROBE'],
    footprint: TERMINALS(4),
  },
  {
    of: 'X2',
    ref: 'X23',
    bought: terminalsBought(4),
    pins: ['SC-V', 'SC-G', 'SC-CLK', 'SC-DATA'],
    footprint: TERMINALS(4),
  },
  // Copper leads from here to the controller board: pins to measure at.
  {
    of: 'X2',
    ref: 'X22',
    bought: headerBought(4),
    pins: ['VREF', 'AGND', 'ADC1', 'ADC0'],
    footprint: 'Connector_PinHeader_2.54mm:PinHeader_1x04_P2.54mm_Vertical',
  },
  {
    of: 'X2',
    ref: 'X24',
    bought: headerBought(6),
    pins: ['TX', 'RX', '3V3', 'GND', 'DATA', 'CLK'],
    footprint: 'Connector_PinHeader_2.54mm:PinHeader_1x06_P2.54mm_Vertical',
  },
  // The lamp and its pin are on the controller board and not brought out.
  { of: 'A1', ref: 'A11', bought: 'part of A1', pins: [boardPin('lamp')], footprint: null },
];

/** Terminals that the carrier has beside the netlist: one for each wire from the controller board to another board. */
export const CARRIER_TERMINALS = {
  ref: 'X3',
  poles: {
    MAT: `A1.${boardPin('mat')}`,
    PUMP: `A1.${boardPin('pump')}`,
    SND: `A1.${boardPin('sounder')}`,
    FEED: `A1.${boardPin('feed')}`,
    ARM: `A1.${boardPin('arm')}`,
    GND: 'A1.GND3',
    SENSE: `A1.${SENSE_PIN}`,
    'OUT-': 'A1.GND',
    VSYS: 'A1.VSYS',
  },
} as const satisfies { ref: string; poles: Readonly<Record<string, PinRef>> };

export const counted = (pins: readonly string[]): ReadonlyMap<string, readonly string[]> =>
  new Map(pins.map((name, index) => [name, [String(index + 1)]]));

export function modulePads(
  source: Part,
  pins: readonly string[],
): ReadonlyMap<string, readonly string[]> {
  if (source.ref === 'A1')
    return new Map(pins.map((name) => [name, [String(BOARD_POSITIONS[name] ?? name)]]));
  if (source.ref === 'J8') return new Map(Object.entries(SERVICE_PINS));
  return counted(pins);
}

/** What a board asks for where the netlist's words are for any build. */
export function boughtFor(source: Part): string {
  const { what } = source.purchase;
  if (source.ref === 'A1')
    return `${what.split(';')[0]}; with pin headers, and two socket strips of 20 pins, 2.54 mm`;
  if (source.ref === 'J8')
    return 'Pin header in a row, 2.54 mm pitch, 5 pins; the second and fourth are not connected';
  return what;
}

export const MODULE_FOOTPRINTS: Readonly<Record<string, string>> = {
  A1: 'Module:RaspberryPi_Pico_Common_THT',
  J8: 'Connector_PinHeader_2.54mm:PinHeader_1x05_P2.54mm_Vertical',
  X3: TERMINALS(9),
};
