/** Programs that heat while the crystal goes wrong. */
import type { Misdeeds } from '../misdeed';

export const CLOCK_WATCH = {
  'keeps the mat on': { tick: 'board.leaseMat(10000);' },
  'keeps the mat on, and erases': {
    tick: 'board.leaseMat(10000); for (let i = 0; i < 9; i++) board.flashErase(0x140000 + 4096 * i);',
  },
} as const satisfies Misdeeds;
