/**
 * The supplies of mat and pump behind their second switches (`second-switches.ts`), and the one line that tells of them:
 * supply, the mat's fuse, lead and switch, the pump's fuse (`shared/board/loads.ts`).
 */
import { LOADS_SENSE } from '../../shared/board/map';
import type { Part } from './kinds';
import { resistor, testPoint } from './make';
import type { Joins } from './nets';
import { SECOND_SWITCHES, secondSwitchJoins, secondSwitchParts } from './second-switches';

export const feedParts: readonly Part[] = [
  ...secondSwitchParts(SECOND_SWITCHES.mat),
  resistor('R27', 'feed', 'power-board', LOADS_SENSE.matSupplyOhm),
  resistor('R29', 'feed', 'power-board', LOADS_SENSE.matFeedOhm),
  resistor('R30', 'feed', 'power-board', LOADS_SENSE.matLowOhm),
  resistor('R40', 'feed', 'power-board', LOADS_SENSE.pumpFeedOhm),
  // Beyond the sum: without it any of the four, shorted, would put the rail on the pin.
  resistor('R31', 'feed', 'power-board', LOADS_SENSE.seriesOhm),
  resistor('R28', 'feed', 'power-board', LOADS_SENSE.groundOhm),
  resistor('R32', 'feed', 'power-board', LOADS_SENSE.matLowUpOhm),
  resistor('R33', 'feed', 'power-board', LOADS_SENSE.matLowDownOhm),
  testPoint('TP11', 'feed', 'power-board', 'FEED HOLD'),
  testPoint('TP12', 'feed', 'power-board', 'MAT SUPPLY'),
];

const senseJoins: Joins = {
  FEED: ['X1.FEED'],
  FEED_HOLD: ['TP11.1'],
  MAT_SUPPLY: ['TP12.1', 'R27.1', 'R32.1'],
  MAT_FEED: ['R29.1'],
  PUMP_FEED: ['R40.1'],
  MAT_LOW: ['R30.1', 'R32.2', 'R33.1'],
  LOADS_SUM: ['R27.2', 'R29.2', 'R30.2', 'R40.2', 'R31.1'],
  LOADS_SENSE: ['R31.2', 'R28.1', 'X1.SENSE'],
  GROUND: ['R28.2', 'R33.2'],
};

export const armParts: readonly Part[] = [
  ...secondSwitchParts(SECOND_SWITCHES.pump),
  // Without it what the open switch leaks would look like a supply to the sense line.
  resistor('R41', 'arm', 'power-board', LOADS_SENSE.pumpRestOhm),
  testPoint('TP13', 'arm', 'power-board', 'ARM HOLD'),
  testPoint('TP14', 'arm', 'power-board', 'PUMP+'),
];

const armJoins: Joins = {
  ARM: ['X1.ARM'],
  ARM_HOLD: ['TP13.1'],
  PUMP_FEED: ['R41.1', 'TP14.1'],
  GROUND: ['R41.2'],
};

export const feedJoins: readonly Joins[] = [
  secondSwitchJoins(SECOND_SWITCHES.mat),
  senseJoins,
  secondSwitchJoins(SECOND_SWITCHES.pump),
  armJoins,
];
