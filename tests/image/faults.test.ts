/** Every way in which the program can fail ends with outputs off, the cause kept, and a new start. */
import { describe, expect, it } from 'vitest';
import type { Chip } from '../../firmware/bench/chip/chip';
import { causeOf } from '../../firmware/bench/chip/chip-bench';
import { SLOWEST_FLASH, TYPICAL_FLASH } from '../../firmware/bench/chip/rom';
import { addressOf } from '../../firmware/image/symbols';
import {
  DOOR,
  FLASH_MAP,
  FLASH_START,
  LIMITER,
  SAFETY_STEP_MS,
  SCRIPT_LIMIT_MS,
} from '../../shared/board/map';
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

const does = misbehaving('faults');

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
    const chip = powered(await does('loops for ever'));
    const lines = heardLines(chip);
    const matOnMs = onTimer(chip, 'mat');
    untilRestart(chip, 10_000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.computation });
    expect(matOnMs(chip.nowMs)).toBeLessThan(SCRIPT_LIMIT_MS + NOTICE_MS);
    chip.run(1500);
    expect(lines.at(-1)).toBe(`abort ${ABORT.computation}`);
  });

  it('that erases for ever has its outputs off after two seconds, and is stopped as well', async () => {
    const chip = powered(await does('erases for ever'));
    const onMs = onTimer(chip, 'mat');
    untilRestart(chip, LIMITER.watchdogMs + 2500);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.computation });
    expect(onMs(chip.nowMs)).toBeLessThan(
      SCRIPT_LIMIT_MS + NOTICE_MS + TYPICAL_FLASH.eraseSectorMs,
    );
  });

  it.each([
    ['erases for ever at its start'],
    ['erases for long in its rest, then for ever in a tick'],
  ] as const)('that %s is stopped before the watchdog bites', async (misdeed) => {
    const chip = powered(await does(misdeed), 1, SLOWEST_FLASH);
    untilRestart(chip, LIMITER.watchdogMs + 5000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.computation });
  });

  it('is none that only takes the time it may, again and again: a tick that is due goes before requests', async () => {
    const chip = powered(await does('is slow at everything'), 1, SLOWEST_FLASH);
    chip.openUsb(true);
    const lines = heardLines(chip);
    expect(chip.runUntil(() => chip.flash.operations > 0, 15_000)).toBe(true);
    chip.writeUsb(Uint8Array.of(0x61, 0x0a));
    chip.writeUart(Uint8Array.of(0x61, 0x0a));
    chip.run(2 * LIMITER.watchdogMs);
    expect(chip.starts).toHaveLength(1);
    expect(new Set(lines)).toEqual(new Set([String(DOOR.usb), String(DOOR.uart)]));
  });

  it('that hangs below JavaScript is restarted by the watchdog in eight seconds', async () => {
    const chip = powered(await does('tells its cause, mat on'));
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
    ['throws an Error', 1],
    ['throws a RangeError', 3],
    ['throws a TypeError', 6],
    ['throws a string', 0],
    ['breaks an invariant', 104],
    ['throws an error of its own', 0],
  ] as const)('that %s is restarted at once, the kind kept', async (misdeed, kind) => {
    const chip = powered(await does(misdeed));
    const lines = heardLines(chip);
    untilRestart(chip, 3000);
    expect(lastWords(chip)).toEqual({ cause: 'exception', detail: kind });
    chip.run(100);
    // The restart may cut off a line after its first letters; the next goes on behind them.
    expect(lines.join()).toMatch(new RegExp(`exception ${kind}$`));
  });

  it('that throws at each tick waits five seconds from its third restart on, lamp blinking', async () => {
    const chip = powered(await does('throws at each tick'));
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
    const chip = powered(await does('throws at its start'));
    untilRestart(chip, 1000);
    expect(lastWords(chip)).toEqual({ cause: 'exception', detail: 1 });
  });

  it('that fills the heap is restarted, mat off', async () => {
    const chip = powered(await does('fills the heap'));
    untilRestart(chip, 5000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.memory });
  });

  it.each([
    'overflows the stack of JavaScript',
    'overflows the stack of C',
    'overflows the stack of C by sorting in sorting',
  ] as const)('that %s is restarted, mat off', async (misdeed) => {
    const chip = powered(await does(misdeed));
    untilRestart(chip, 5000);
    expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.stack });
    expect(chip.faults).toEqual([]);
  });

  it('that makes the processor fault is restarted, with the address of the instruction', async () => {
    const image = await does('makes the processor fault');
    const chip = powered(image);
    untilRestart(chip, 3000);
    const { cause, detail } = lastWords(chip);
    expect(cause).toBe('fault');
    expect(chip.faults).toHaveLength(1);
    expect(chip.faults[0]?.what).toMatch(/unaligned/);
    expect(detail).toBeGreaterThan(FLASH_START);
    expect(detail).toBeLessThan(FLASH_START + FLASH_MAP.image.bytes);
  });

  it.each(['makes a promise that is rejected', 'makes a promise that is waited for'] as const)(
    'that %s is restarted: the board runs none',
    async (misdeed) => {
      const chip = powered(await does(misdeed));
      untilRestart(chip, 3000);
      expect(lastWords(chip)).toEqual({ cause: 'abort', detail: ABORT.rejection });
    },
  );

  it('that asks for a restart gets one, with no fault counted', async () => {
    const chip = powered(await does('asks for a restart'));
    const lines = heardLines(chip);
    untilRestart(chip, 3000);
    chip.run(100);
    expect(lines.at(-1)).toBe('request 0');
  });
});

describe.skipIf(cannotBuild)('a board in a bad way', { timeout: BUILD_LIMIT_MS }, () => {
  it('is restarted when something wrote below its stack, mat off within a safety step', async () => {
    const image = await does('keeps the mat on');
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
    const chip = powered(await does('tells its cause, mat on'));
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
    const image = await does('keeps the mat on');
    const bytes = image.bytes.slice();
    const [start, end] = ['realm_start', 'realm_end'].map(
      (name) => addressOf(image.symbols, name) - FLASH_START,
    );
    bytes.fill(0, start, end);
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
    const image = await does('tells its cause');
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
    const chip = powered(await does('has all on'));
    chip.run(1500);
    expect([...chip.outputsOn].sort()).toEqual(['mat', 'pump']);
    chip.powerOff();
    expect(chip.outputsOn.size).toBe(0);
  });
});
