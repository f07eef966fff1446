/**
 * Every wire between the boards and out of the box: where from, where to, colour, copper. Grounds
 * make a tree with its root on the power board, so that no load's current flows in the ground of the
 * controller, the probes or the bridge; the controller alone has a second way there.
 */
import { PROBE_NAMES } from '../../shared/board/probes';
import { boardPin, SENSE_PIN } from './controller';
import type { Colour, PinRef, Wire, WireMm2 } from './kinds';
import type { NetName } from './nets';
import { PROBE_CIRCUITS, PROBE_LIST, probePin } from './probes';

type Row = readonly [NetName, PinRef, PinRef, Colour, WireMm2];

const a1 = (name: Parameters<typeof boardPin>[0]): PinRef => `A1.${boardPin(name)}`;

const ROWS: readonly Row[] = [
  ['INLET', 'J1.+', 'F1.1', 'RD', 1],
  ['FUSED', 'F1.2', 'X1.IN+', 'RD', 1],
  ['GROUND', 'J1.-', 'X1.IN-', 'BK', 1],
  ['MAT_FEED', 'X1.MAT+', 'J2.1', 'BN', 0.75],
  ['MAT_LOW', 'X1.MAT-', 'J2.2', 'BU', 0.75],
  ['PUMP_FEED', 'X1.PUMP+', 'J3.1', 'PK', 0.5],
  ['PUMP_LOW', 'X1.PUMP-', 'J3.2', 'GY', 0.5],
  ['BUCK_FEED', 'X1.BUCK+', 'A2.IN+', 'RD', 0.5],
  ['GROUND', 'X1.BUCK-', 'A2.IN-', 'BK', 0.5],
  ['FIVE_VOLT', 'A2.OUT+', 'X1.5V', 'OG', 0.5],
  ['GROUND', 'A2.OUT-', 'A1.GND', 'BK', 0.5],
  ['BOARD_FEED', 'X1.VSYS', 'A1.VSYS', 'OG', 0.5],
  ['MAT', a1('mat'), 'X1.MAT', 'WH', 0.25],
  ['PUMP', a1('pump'), 'X1.PUMP', 'VT', 0.25],
  ['SOUNDER', a1('sounder'), 'X1.SND', 'GN', 0.25],
  ['FIVE_VOLT', 'X1.LS+', 'LS1.+', 'OG', 0.5],
  ['SOUNDER_LOW', 'X1.LS-', 'LS1.-', 'GY', 0.5],
  ['ADC_REFERENCE', 'A1.ADC_VREF', 'X2.VREF', 'YE', 0.25],
  ['QUIET_GROUND', 'A1.AGND', 'X2.AGND', 'BK', 0.25],
  ...PROBE_NAMES.map((name): Row => {
    const { adcNet, adcPole, colour } = PROBE_CIRCUITS[name];
    return [adcNet, `A1.${probePin(name)}`, `X2.${adcPole}`, colour, 0.25];
  }),
  ['LOGIC_SUPPLY', 'A1.3V3', 'X2.3V3', 'PK', 0.25],
  ['GROUND', 'A1.GND2', 'X2.GND', 'BK', 0.25],
  ['SCALE_CLK', a1('scaleClock'), 'X2.CLK', 'BU', 0.25],
  ['SCALE_DATA', a1('scaleData'), 'X2.DATA', 'GN', 0.25],
  ['LINK_TX', a1('linkTx'), 'X2.TX', 'BN', 0.25],
  ['LINK_RX', a1('linkRx'), 'X2.RX', 'GY', 0.25],
  ['SCALE_SUPPLY', 'X2.SC-V', 'A3.VCC', 'PK', 0.25],
  ['GROUND', 'X2.SC-G', 'A3.GND', 'BK', 0.25],
  ['SCALE_CLK', 'X2.SC-CLK', 'A3.SCK', 'BU', 0.25],
  ['SCALE_DATA', 'X2.SC-DATA', 'A3.DT', 'GN', 0.25],
  ...PROBE_LIST.flatMap(({ net, pole, probe }): Row[] => [
    [net, `X2.${pole}`, `${probe}.1`, 'WH', 0.25],
    ['QUIET_GROUND', `X2.${pole}-`, `${probe}.2`, 'BK', 0.25],
  ]),
  ['BRIDGE_PLUS', 'A3.E+', 'LC1.E+', 'RD', 0.14],
  ['BRIDGE_MINUS', 'A3.E-', 'LC1.E-', 'BK', 0.14],
  ['SIGNAL_PLUS', 'A3.A+', 'LC1.S+', 'GN', 0.14],
  ['SIGNAL_MINUS', 'A3.A-', 'LC1.S-', 'WH', 0.14],
  ['MAT_FEED', 'J2.1', 'TC1.1', 'BN', 0.75],
  ['MAT_CUT', 'TC1.2', 'HM1.1', 'BN', 0.75],
  ['MAT_LOW', 'J2.2', 'HM1.2', 'BU', 0.75],
  ['PUMP_FEED', 'J3.1', 'M1.1', 'BN', 0.75],
  ['PUMP_LOW', 'J3.2', 'M1.2', 'BU', 0.75],
  // The second ground of the controller: without it one broken wire would lift its pins, and the gates with them.
  ['GROUND', 'A1.GND3', 'X1.GND', 'BK', 0.5],
  ['FEED', a1('feed'), 'X1.FEED', 'YE', 0.25],
  ['LOADS_SENSE', `A1.${SENSE_PIN}`, 'X1.SENSE', 'WH', 0.25],
  ['ARM', a1('arm'), 'X1.ARM', 'BU', 0.25],
];

export const WIRES: readonly Wire[] = ROWS.map(([net, from, to, colour, mm2], index) => ({
  id: `W${index + 1}`,
  net,
  from,
  to,
  colour,
  mm2,
}));
