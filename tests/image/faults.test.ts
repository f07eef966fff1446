/** Every way in which the program can fail ends with outputs off, the cause kept, and a new start. */
import { describe, expect, it } from 'vitest';
import { FLASH_START } from '../../firmware/bench/chip/address-map';
import type { Chip } from '../../firmware/bench/chip/chip';
import { causeOf } from '../../firmware/bench/chip/chip-bench';
import { addressOf } from '../../firmware/image/symbols';
import { LIMITER, SAFETY_STEP_MS, SCRIPT_LIMIT_MS } from '../../shared/board/map';
import { FAULT_DETAIL } from '../../shared/board/words';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  figures,
  heardLines,
  misbehaving,
  onTimer,
  powered,
} from './images';

/** The engine's abort statuses (`xs.h`). */
const ABORT = { memory: 1, stack: 2, computation: 7, rejection: 8 } as const;
/** Time to notice that it is over, and to restart. */
const NOTICE_MS = 100;
/** Longest for what does not have to be noticed first. */
const AT_ONCE_MS = 1;
/** RP2040 data sheet 2.3.2, and the exception number of interrupt 0. */
const SPI0_IRQ = 18;
const LAST_IRQ = 31;
const FIRST_IRQ_EXCEPTION = 16;
const TELL = 'say(board.resetCause() + " " + board.resetDetail());';

const ONCE = 'if (board.resetCause() === "power-on")';

/** Cause and detail that the run before the last start left behind. */
function lastWords(chip: Chip): { cause: string; detail: number } {
  const start = chip.starts.at(-1);
  if (start === undefined) throw new Error('the board never started');
  return { cause: causeOf(start), detail: start.scratch[1] ?? 0 };
}

/** Runs until the board starts again; the mat must be off by then. */
function untilRestart(chip: Chip, limitMs: number): void {
  const before = chip.starts.length;
  expect(chip.runUntil(() => chip.starts.length > before, limitMs)).toBe(true);
  expect(chip.outputsOn.has('mat')).toBe(false);
}

describe.skipIf(cannotBuild)('a failing program', { timeout: BUILD_LIMIT_MS }, () => {
  it('that loops for ever is stopped in two seconds, mat off', async () => {
    const script = `${TELL} if (board.resetCause() === "power-on" && ticks === 3) { board.leaseMat(10000); for (;;); }`;
    const chip = powered(await misbehaving('endless-loop', script));
    const lines = heardLines(chip);
    const matOnMs = onTimer(chip, 'mat');
    untilRestart(chip, 10_000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.computation });
    expect(matOnMs(chip.nowMs)).toBeLessThan(SCRIPT_LIMIT_MS + NOTICE_MS);
    chip.run(1500);
    expect(lines.at(-1)).toBe(`abort ${ABORT.computation}`);
  });

  it('that hangs below JavaScript is restarted by the watchdog in eight seconds', async () => {
    const chip = powered(await misbehaving('hang', `${TELL} board.leaseMat(10000);`));
    const lines = heardLines(chip);
    chip.run(3500);
    chip.hung = true;
    const hungMs = chip.nowMs;
    untilRestart(chip, LIMITER.watchdogMs + 100);
    expect(chip.nowMs - hungMs).toBeLessThanOrEqual(LIMITER.watchdogMs + 1);
    expect(lastWords(chip).cause).toBe('watchdog');
    chip.hung = false;
    chip.run(1500);
    expect(lines.at(-1)).toMatch(/^watchdog /);
  });

  it.each([
    ['Error', 'throw new Error("no");', 1],
    ['RangeError', 'new Array(-1);', 3],
    ['TypeError', 'null.x;', 6],
    ['a thrown string', 'throw "no";', 0],
    ['a broken invariant', 'class Broken extends Error {} throw new Broken("no");', 0],
  ])('that throws (%s) is restarted at once, the kind kept', async (what, throws, kind) => {
    const name = `throws-${what.replace(/\W/g, '-')}`;
    const chip = powered(
      await misbehaving(name, `${TELL} board.leaseMat(10000); ${ONCE} { ${throws} }`),
    );
    const lines = heardLines(chip);
    untilRestart(chip, 3000);
    expect(lastWords(chip)).toEqual({ cause: 'exception', detail: kind });
    chip.run(100);
    // The restart may cut off a line after its first letters; the next goes on behind them.
    expect(lines.join()).toMatch(new RegExp(`exception ${kind}$`));
  });

  it('that throws at each tick waits five seconds from its third restart on, lamp blinking', async () => {
    const chip = powered(await misbehaving('throws-always', 'throw new Error("again");'));
    chip.run(15_000);
    const blinks: number[] = [];
    chip.onOutput = ({ output, atMs }) => {
      if (output === 'lamp') blinks.push(atMs);
    };
    const before = chip.starts.length;
    expect(before).toBeLessThan(8);
    chip.run(5000);
    expect(blinks.length).toBeGreaterThan(20);
    expect(chip.starts.length - before).toBeLessThanOrEqual(1);
  });

  it('that throws at its start is restarted too', async () => {
    const chip = powered(await misbehaving('throws-early', '', '', 'throw new Error("early");'));
    untilRestart(chip, 1000);
    expect(lastWords(chip)).toEqual({ cause: 'exception', detail: 1 });
  });

  it('that fills the heap is restarted, mat off', async () => {
    const script = 'board.leaseMat(10000); globalThis.all ??= []; for (;;) all.push({ all });';
    const chip = powered(await misbehaving('heap', script));
    untilRestart(chip, 5000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.memory });
  });

  it.each([
    ['of JavaScript', 'const deep = (n) => 1 + deep(n + 1); deep(0);'],
    ['of C', 'let s = "["; for (let i = 0; i < 9; i++) s += s; JSON.parse(s);'],
    ['of C by sorting in sorting', 'const again = () => [2, 1].sort(() => (again(), 0)); again();'],
  ])('that overflows the stack %s is restarted, mat off', async (what, script) => {
    const name = `stack-${what.replace(/\W/g, '-')}`;
    const chip = powered(await misbehaving(name, `board.leaseMat(10000); ${script}`));
    untilRestart(chip, 5000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.stack });
    expect(chip.faults).toEqual([]);
  });

  it('that makes the processor fault is restarted, with the address of the instruction', async () => {
    const script =
      'board.leaseMat(10000); new DataView(new ArrayBuffer(16)).getUint32(1, true); say("still here");';
    const image = await misbehaving('unaligned', script);
    const chip = powered(image);
    untilRestart(chip, 3000);
    const { cause, detail } = lastWords(chip);
    expect(cause).toBe('fault');
    expect(chip.faults).toHaveLength(1);
    expect(chip.faults[0]?.what).toMatch(/unaligned/);
    expect(detail).toBeGreaterThan(FLASH_START);
    expect(detail).toBeLessThan(FLASH_START + image.bytes.length);
  });

  it.each([
    ['rejected', 'Promise.reject(new Error("no"));'],
    ['waited for', 'Promise.resolve(1).then(() => {});'],
  ])('that makes a promise, %s, is restarted: the board runs none', async (what, script) => {
    const name = `promise-${what.replace(/\W/g, '-')}`;
    const chip = powered(await misbehaving(name, `board.leaseMat(10000); ${script}`));
    untilRestart(chip, 3000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.rejection });
  });

  it('that asks for a restart gets one, with no fault counted', async () => {
    const script = `${TELL} if (board.resetCause() === "power-on" && ticks === 2) board.restart();`;
    const chip = powered(await misbehaving('restart', script));
    const lines = heardLines(chip);
    untilRestart(chip, 3000);
    chip.run(100);
    expect(lines.at(-1)).toBe('request 0');
  });
});

describe.skipIf(cannotBuild)('a board in a bad way', { timeout: BUILD_LIMIT_MS }, () => {
  it('is restarted when something wrote below its stack, mat off within a safety step', async () => {
    const image = await misbehaving('mat-on', 'board.leaseMat(10000);');
    const chip = powered(image);
    chip.run(1500);
    expect(chip.outputsOn.has('mat')).toBe(true);
    chip.spoilWord(addressOf(image.symbols, 'stack_bottom'));
    untilRestart(chip, SAFETY_STEP_MS + 1);
    expect(lastWords(chip)).toEqual({ cause: 'fault', detail: FAULT_DETAIL.stackOverflow });
  });

  it.each([
    { what: 'a peripheral that the board does not use', irq: SPI0_IRQ },
    { what: 'a line that the chip leaves unconnected', irq: LAST_IRQ },
  ])('is restarted at once by an interrupt of $what, mat off, its number kept', async ({ irq }) => {
    const chip = powered(await misbehaving('mat-tells', `board.leaseMat(10000); ${TELL}`));
    const lines = heardLines(chip);
    chip.run(1500);
    expect(chip.outputsOn.has('mat')).toBe(true);
    chip.interrupt(irq);
    untilRestart(chip, AT_ONCE_MS);
    const detail = FAULT_DETAIL.unexpectedInterrupt + 256 * (FIRST_IRQ_EXCEPTION + irq);
    expect(lastWords(chip)).toEqual({ cause: 'fault', detail });
    chip.run(1500);
    expect(lines.at(-1)).toBe(`fault ${detail}`);
  });

  it('without its frozen realm switches nothing on and keeps trying, slower and slower', async () => {
    const image = await misbehaving('mat-on', 'board.leaseMat(10000);');
    const bytes = image.bytes.slice();
    bytes.fill(0, addressOf(image.symbols, 'realm_start') - FLASH_START);
    const chip = powered({ ...image, bytes });
    const matOnMs = onTimer(chip, 'mat');
    untilRestart(chip, 1000);
    expect(lastWords(chip)).toEqual({ cause: 'fault', detail: FAULT_DETAIL.noMemoryForEngine });
    chip.run(30_000);
    expect(chip.starts.length).toBeLessThan(12);
    expect(matOnMs(chip.nowMs)).toBe(0);
  });
});

describe.skipIf(cannotBuild)('the supply', { timeout: BUILD_LIMIT_MS }, () => {
  it('tells a dip from a cold start', async () => {
    const image = await misbehaving('tell-cause', TELL);
    const chip = powered(image);
    const lines = heardLines(chip);
    chip.run(500);
    chip.powerOff();
    chip.run(20);
    chip.powerOn(true);
    chip.run(500);
    chip.powerOff();
    chip.run(60_000);
    chip.powerOn();
    chip.run(500);
    expect(lines).toEqual(['power-on 0', 'brown-out 0', 'power-on 0']);
    expect(figures(chip, image).ticks).toBe(1);
  });

  it('loses the outputs with the power, whatever was on', async () => {
    const chip = powered(
      await misbehaving('all-on', 'board.leaseMat(10000); board.leasePump(2000);'),
    );
    chip.run(1500);
    expect([...chip.outputsOn].sort()).toEqual(['mat', 'pump']);
    chip.powerOff();
    expect(chip.outputsOn.size).toBe(0);
  });
});
