/** Programs that keep a host waiting. */
import type { Misdeeds } from '../misdeed';

export const USB_STANDARD = {
  'erases in each rest': {
    rest: 'board.flashErase(0x140000); board.flashErase(0x141000);',
  },
  'erases in each tick': { tick: 'board.flashErase(0x140000);' },
} as const satisfies Misdeeds;
