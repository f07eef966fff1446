/** Programs that lease one output, or none. */
import type { Misdeeds } from '../misdeed';

/** Of one dose. */
export const LEASE_MS = 700;

export const SECOND_SWITCH = {
  'keeps the mat on': { tick: 'board.leaseMat(10000);' },
  'keeps the pump on': { tick: 'board.leasePump(2000);' },
  'leases the pump once': { tick: `if (ticks === 2) board.leasePump(${LEASE_MS});` },
  'leases nothing': {},
  'tells its outputs, with the mat': {
    tick: 'if (ticks > 5) board.leaseMat(1500); say(board.outputs());',
  },
  'tells its outputs, with the pump': {
    tick: 'if (ticks > 5) board.leasePump(1500); say(board.outputs());',
  },
} as const satisfies Misdeeds;
