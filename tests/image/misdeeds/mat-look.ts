/** Programs that heat and pump while the runtime looks at the mat's line. */
import { FLASH_MAP, MAT_LOOK, SAFETY_STEP_MS } from '../../../shared/board/map';
import { MAT_LOOKED } from '../../../shared/board/words';
import type { Misdeeds } from '../misdeed';

const TELLS = `const looked = board.takeMatLook();
  if (looked !== ${MAT_LOOKED.not}) say([board.matLookCode(false), board.matLookCode(true), looked]);`;
/**
 * Leases that end before, with and after the step in which a look is due: the switch closes `feedSteps` after the second
 * one, and the look is due `againMs` later.
 */
const LOOK_DUE_MS = MAT_LOOK.feedSteps * SAFETY_STEP_MS + MAT_LOOK.againMs;
export const LEASES = {
  firstMs: LOOK_DUE_MS - 3 * SAFETY_STEP_MS,
  stepMs: 12,
  count: 26,
  everyTicks: 3,
};
export const MAT_LOOKS = {
  'leases it for a little longer each time': {
    tick: `const i = (ticks - 1) / ${LEASES.everyTicks};
      if (i % 1 === 0 && i < ${LEASES.count}) {
        board.setLamp(i % 2 === 0);
        board.leaseMat(${LEASES.firstMs} + i * ${LEASES.stepMs});
      }`,
  },
  'keeps the mat on': { tick: `${TELLS} board.leaseMat(10000);` },
  'heats for six seconds': { tick: `${TELLS} board.leaseMat(ticks <= 6 ? 10000 : 0);` },
  'heats, and erases as it lets go': {
    tick: `${TELLS} if (ticks <= 4) board.leaseMat(10000);
      if (ticks === 5) { board.leaseMat(0); board.flashErase(${FLASH_MAP.journal.offset}); }`,
  },
  'heats after a while': { tick: `${TELLS} board.leaseMat(ticks > 2 ? 10000 : 0);` },
  'keeps the pump on': { tick: `${TELLS} board.leasePump(2000);` },
  'keeps both on': { tick: `${TELLS} board.leaseMat(10000); board.leasePump(2000);` },
} as const satisfies Misdeeds;
