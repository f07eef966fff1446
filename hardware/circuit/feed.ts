/**
 * The second switch: mat and pump hang on one feed, closed only while the safety step keeps toggling a pin. The
 * toggling goes through a capacitor, so that no steady level of that pin closes it, high, low or floating. With it the
 * one line that tells of what it feeds: supply, the mat's fuse, lead and switch (`shared/board/loads.ts`).
 */
import { LOADS_SENSE } from '../../shared/board/map';
import type { Part } from './kinds';
import {
  capacitor,
  gateZener,
  railSwitch,
  resistor,
  signalDiode,
  smallNpn,
  testPoint,
} from './make';
import type { Joins } from './nets';

export const feedParts: readonly Part[] = [
  resistor('R21', 'feed', 'power-board', 1000),
  resistor('R22', 'feed', 'power-board', 10_000),
  capacitor('C8', 'feed', 'power-board', 2.2e-6, 25, 'X7R ceramic'),
  signalDiode('D12', 'feed'),
  signalDiode('D13', 'feed'),
  capacitor('C9', 'feed', 'power-board', 2.2e-6, 25, 'X7R ceramic'),
  resistor('R23', 'feed', 'power-board', 68_000),
  resistor('R24', 'feed', 'power-board', 100_000),
  smallNpn('Q6', 'feed'),
  resistor('R25', 'feed', 'power-board', 4700),
  resistor('R26', 'feed', 'power-board', 100_000),
  gateZener('D14', 'feed'),
  railSwitch('Q5', 'feed'),
  resistor('R27', 'feed', 'power-board', LOADS_SENSE.loadFeedOhm),
  resistor('R29', 'feed', 'power-board', LOADS_SENSE.matFeedOhm),
  resistor('R30', 'feed', 'power-board', LOADS_SENSE.matLowOhm),
  // Beyond the sum: without it any of the three, shorted, would put the rail on the pin.
  resistor('R31', 'feed', 'power-board', LOADS_SENSE.seriesOhm),
  resistor('R28', 'feed', 'power-board', LOADS_SENSE.groundOhm),
  resistor('R32', 'feed', 'power-board', LOADS_SENSE.matLowUpOhm),
  resistor('R33', 'feed', 'power-board', LOADS_SENSE.matLowDownOhm),
  testPoint('TP11', 'feed', 'power-board', 'FEED HOLD'),
  testPoint('TP12', 'feed', 'power-board', 'LOADS'),
];

export const feedJoins: Joins = {
  FEED: ['X1.FEED', 'R21.1', 'R22.1'],
  FEED_PULSE: ['R21.2', 'C8.1'],
  FEED_PUMP: ['C8.2', 'D12.K', 'D13.A'],
  FEED_HOLD: ['D13.K', 'C9.1', 'R23.1', 'TP11.1'],
  FEED_BASE: ['R23.2', 'R24.1', 'Q6.B'],
  FEED_PULL: ['Q6.C', 'R25.1'],
  FEED_GATE: ['R25.2', 'R26.1', 'D14.A', 'Q5.G'],
  RAIL: ['R26.2', 'D14.K', 'Q5.S'],
  LOAD_FEED: ['Q5.D', 'TP12.1', 'R27.1', 'R32.1'],
  MAT_FEED: ['R29.1'],
  MAT_LOW: ['R30.1', 'R32.2', 'R33.1'],
  LOADS_SUM: ['R27.2', 'R29.2', 'R30.2', 'R31.1'],
  LOADS_SENSE: ['R31.2', 'R28.1', 'X1.SENSE'],
  GROUND: ['R22.2', 'D12.A', 'C9.2', 'R24.2', 'Q6.E', 'R28.2', 'R33.2'],
};
