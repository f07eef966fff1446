/** Programs that erase while something is due. */
import { FLASH_MAP } from '../../../shared/board/map';
import type { Misdeeds } from '../misdeed';

const erases = `board.flashErase(${FLASH_MAP.journal.offset});`;
export const SLOW_FLASH = {
  'leases, and erases': {
    tick: `if (ticks === 1) board.leaseMat(1100);
     if (ticks === 2) { board.leasePump(100); ${erases} }
     if (ticks === 4) { board.leaseMat(300); board.leasePump(300); }`,
  },
  'heats, and erases': { tick: `board.leaseMat(10000); if (ticks === 3) ${erases}` },
  'erases twice': { tick: `if (ticks === 3 || ticks === 6) say(${erases.slice(0, -1)});` },
} as const satisfies Misdeeds;
