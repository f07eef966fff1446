/** Every way in which a program can fail. */
import { FLASH_MAP } from '../../../shared/board/map';
import type { Misdeed, Misdeeds } from '../misdeed';

const TELL = 'say(board.resetCause() + " " + board.resetDetail());';

const ONCE = 'if (board.resetCause() === "power-on")';

const withMatOn = (script: string): Misdeed => ({ tick: `board.leaseMat(10000); ${script}` });
const throwing = (script: string): Misdeed => ({
  tick: `${TELL} board.leaseMat(10000); ${ONCE} { ${script} }`,
});

export const FAULTS = {
  'loops for ever': {
    tick: `${TELL} ${ONCE} if (ticks === 3) { board.leaseMat(10000); for (;;); }`,
  },
  'erases for ever': {
    tick: `${TELL} ${ONCE} if (ticks === 3) {
      board.leasePump(2000);
      for (;;) { board.leaseMat(10000); board.flashErase(${FLASH_MAP.journal.offset}); }
    }`,
  },
  'erases for ever at its start': {
    start: `${ONCE} for (;;) board.flashErase(${FLASH_MAP.journal.offset});`,
  },
  'erases for long in its rest, then for ever in a tick': {
    rest: `${ONCE} if (ticks === 2) for (let i = 0; i < 12; i++) board.flashErase(${FLASH_MAP.journal.offset});`,
    tick: `${ONCE} if (ticks === 3) for (;;) board.flashErase(${FLASH_MAP.journal.offset});`,
  },
  'is slow at everything': {
    start: `let rested = false;
      const work = (ms) => { const until = board.clockMs() + ms; while (board.clockMs() < until); };`,
    rest: `if (ticks >= 2 && !rested) {
      rested = true;
      for (let i = 0; i < 12; i++) board.flashErase(${FLASH_MAP.journal.offset});
    }`,
    tick: 'if (rested) work(1900);',
    receive: 'work(1900); say(door);',
  },
  'tells its cause, mat on': { tick: `${TELL} board.leaseMat(10000);` },
  'throws an Error': throwing('throw new Error("no");'),
  'throws a RangeError': throwing('new Array(-1);'),
  'throws a TypeError': throwing('null.x;'),
  'throws a string': throwing('throw "no";'),
  'breaks an invariant': throwing(
    'class Broken extends Error { detail = 104; } throw new Broken("no");',
  ),
  'throws an error of its own': throwing(
    'class Own extends Error { more = 104; } throw new Own("no");',
  ),
  'throws at each tick': { tick: 'throw new Error("again");' },
  'throws at its start': { start: 'throw new Error("early");' },
  'fills the heap': withMatOn('globalThis.all ??= []; for (;;) all.push({ all });'),
  'overflows the stack of JavaScript': withMatOn('const deep = (n) => 1 + deep(n + 1); deep(0);'),
  'overflows the stack of C': withMatOn(
    'let s = "["; for (let i = 0; i < 9; i++) s += s; JSON.parse(s);',
  ),
  'overflows the stack of C by sorting in sorting': withMatOn(
    'const again = () => [2, 1].sort(() => (again(), 0)); again();',
  ),
  'makes the processor fault': withMatOn(
    'new DataView(new ArrayBuffer(16)).getUint32(1, true); say("still here");',
  ),
  'makes a promise that is rejected': withMatOn('Promise.reject(new Error("no"));'),
  'makes a promise that is waited for': withMatOn('Promise.resolve(1).then(() => {});'),
  'asks for a restart': { tick: `${TELL} ${ONCE} if (ticks === 2) board.restart();` },
  'keeps the mat on': { tick: 'board.leaseMat(10000);' },
  'tells its cause': { tick: TELL },
  'has all on': { tick: 'board.leaseMat(10000); board.leasePump(2000);' },
} as const satisfies Misdeeds;
