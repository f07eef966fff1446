/** Programs that try what the layer in C must not let them. */
import {
  FLASH_BYTES,
  FLASH_MAP,
  FLASH_PAGE_BYTES,
  FLASH_SECTOR_BYTES,
  LIMITER_BOUNDS,
} from '../../../shared/board/map';
import { curveFromB } from '../../../shared/physics/ntc';
import { hotCodeOf, windowOf } from '../../../shared/physics/probe-curve';
import { type Misdeeds, saying } from '../misdeed';

const LAST_PAGE = FLASH_MAP.settings.offset - FLASH_PAGE_BYTES;
/** Each must be refused: what they would change is the program, or beyond the chip. */
export const ATTEMPTS = [
  'board.flashErase(0)',
  `board.flashErase(${FLASH_MAP.settings.offset - FLASH_SECTOR_BYTES})`,
  'board.flashProgram(0, new Uint8Array(4))',
  `board.flashProgram(${LAST_PAGE}, new Uint8Array(${FLASH_PAGE_BYTES + 1}))`,
  `board.flashErase(${FLASH_BYTES})`,
  `board.flashProgram(${FLASH_BYTES - 1}, new Uint8Array(2))`,
  `board.flashErase(${FLASH_MAP.settings.offset + 1})`,
  'board.flashErase(-4096)',
  'board.flashErase(NaN)',
];

/** A probe of 5 k: its code at 40 C is the reference probe's at 60. */
const FIVE_K = curveFromB({ b: 3977, t1C: 25, t2C: 85 }, 5_000);
export const HOT_CODE = hotCodeOf(FIVE_K, 40);
export const { openCode: OPEN_CODE, shortCode: SHORT_CODE } = windowOf(FIVE_K);
const LIMIT = `board.limitProbe(0, ${HOT_CODE}, ${OPEN_CODE}, ${SHORT_CODE})`;
/** As a script gone wrong might: the least limit that there is. */
const UNLIMITED = `board.limitProbe(0, ${LIMITER_BOUNDS.hotMin}, ${LIMITER_BOUNDS.openMax}, ${LIMITER_BOUNDS.shortMin})`;
export const UNFIT = [
  'board.limitProbe(0, 0, 0, 0)',
  'board.limitProbe(0)',
  'board.limitProbe(0, NaN, "", null)',
  `board.limitProbe(0, ${LIMITER_BOUNDS.hotMin - 1}, ${OPEN_CODE}, ${SHORT_CODE})`,
  `board.limitProbe(0, ${HOT_CODE}, 4095, ${SHORT_CODE})`,
  `board.limitProbe(0, ${HOT_CODE}, ${OPEN_CODE}, 0)`,
  `board.limitProbe(0, ${HOT_CODE}, ${HOT_CODE}, ${SHORT_CODE})`,
  `board.limitProbe(0, ${HOT_CODE}, ${OPEN_CODE}, ${HOT_CODE})`,
];
const HEATS = 'board.leaseMat(10000);';

const TOLD_UNFIT: Misdeeds = Object.fromEntries(
  UNFIT.map((unfit) => [
    unfit,
    { start: `const said = [${unfit}, ${LIMIT}];`, tick: `${HEATS} say(said);` },
  ]),
);

export const SAFETY: Misdeeds = {
  'has another probe': {
    start: `const said = [${LIMIT}, ${UNLIMITED}, board.limitProbe(2, 500, 4000, 50)];`,
    tick: `if (ticks === 1) said.push(${UNLIMITED}, board.limitProbe(1, 500, 4000, 50)); ${HEATS} say(said);`,
  },
  'leases before it tells': {
    start: `board.leasePump(1); const said = [${UNLIMITED}, board.limitProbe(1, 500, 4000, 50)];`,
    tick: `${HEATS} say(said);`,
  },
  ...TOLD_UNFIT,
  'leases the mat once': { tick: 'if (ticks === 1) board.leaseMat(60000);' },
  'leases the pump twice': {
    tick: 'if (ticks === 1) board.leasePump(60000); if (ticks === 6) board.leasePump(730);',
  },
  'leases for nonsense': {
    tick: 'for (const ms of [NaN, -5, undefined, "", null]) { board.leaseMat(ms); board.leasePump(ms); }',
  },
  'keeps the pump on': { tick: 'board.leasePump(2000); if (ticks === 300) board.restart();' },
  'keeps the mat on': { tick: 'board.leaseMat(10000); say(board.outputs());' },
  'heats and reads': { tick: 'board.leaseMat(10000); say(board.readProbe(0));' },
  'writes over the program': saying(ATTEMPTS),
};
