/** The cache in front of the flash, by the data sheet: what it knows, what it costs, and what it does not notice. */
import { RP2040 } from 'rp2040js';
import { beforeEach, describe, expect, it } from 'vitest';
import { RAM_START } from '../../firmware/bench/chip/address-map';
import { ImageError, StrictBus } from '../../firmware/bench/chip/bus';
import { ChipClock } from '../../firmware/bench/chip/clock';
import { Resets } from '../../firmware/bench/chip/registers';
import { Rom, TYPICAL_FLASH } from '../../firmware/bench/chip/rom';
import { ChipMemory } from '../../firmware/bench/chip/translation/memory';
import { XipCache } from '../../firmware/bench/chip/xip-cache';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { FLASH_MAP, FLASH_START } from '../../shared/board/map';

/** 20 cycles of a serial clock of a quarter of the processor's, and 15 around them. */
const MISS_CYCLES = 95;
/** Addresses so far apart share a set: half of 16 KB. */
const WAY_BYTES = 8 * 1024;

describe('the cache in front of the flash', () => {
  const flash = new Uint8Array(64 * 1024);
  let cache: XipCache;
  beforeEach(() => {
    new Uint32Array(flash.buffer).forEach((_, word, words) => {
      words[word] = 0x1000 + word;
    });
    cache = new XipCache(flash);
    cache.clockDivider = 4;
  });

  const waitsFor = (offset: number): number => {
    expect(cache.word(offset)).toBe(0x1000 + offset / 4);
    return cache.takeWaitedCycles();
  };

  it('makes the processor wait for a word once', () => {
    expect([waitsFor(0x120), waitsFor(0x120)]).toEqual([MISS_CYCLES, 0]);
    expect(cache.misses).toBe(1);
  });

  it('reads the other half of a line when it is wanted, and not before', () => {
    expect([waitsFor(0x120), waitsFor(0x124), waitsFor(0x120)]).toEqual([
      MISS_CYCLES,
      MISS_CYCLES,
      0,
    ]);
  });

  it('waits longer for a slower flash', () => {
    cache.clockDivider = 6;
    expect(waitsFor(0)).toBe(MISS_CYCLES + 2 * 20);
  });

  it('keeps two lines of a set, and of three the two that were used last', () => {
    const [first, second, third] = [0x40, 0x40 + WAY_BYTES, 0x40 + 2 * WAY_BYTES];
    for (const offset of [first, second, first, third]) waitsFor(offset);
    expect([waitsFor(first), waitsFor(third), waitsFor(second)]).toEqual([0, 0, MISS_CYCLES]);
  });

  it('holds 16 KB, whatever of it is read in what order', () => {
    const words = Array.from({ length: 4096 }, (_, i) => (i * 4 * 1021) % (16 * 1024));
    for (const offset of [...words, ...words]) cache.word(offset);
    expect(cache.misses).toBe(words.length);
  });

  it('shows what was there before until it is flushed, and has nothing then', () => {
    waitsFor(0x800);
    flash[0x800] = 0xff;
    expect(cache.word(0x800)).toBe(0x1000 + 0x200);
    cache.flush();
    expect(cache.takeWaitedCycles()).toBe(1024);
    expect(cache.word(0x800)).toBe(0x1000 + 0x2ff);
    expect(cache.takeWaitedCycles()).toBe(MISS_CYCLES);
  });
});

/** A page of the journal, where the ROM's table lies, and what a word of code in it is called by. */
const PAGE = FLASH_MAP.journal.offset;
const TABLE_AT = 0x14;
const BREAKPOINT_MASK = 0xff;
const WRITTEN = 0x5a;

describe('a page that is programmed by the ROM', () => {
  function board(emulatesCache: boolean) {
    const chip = new RP2040();
    const memory = new ChipMemory();
    memory.lendTo(chip);
    const flash = new SimulatedFlash({ seed: 1 });
    flash.moveTo(memory.flash);
    const bus = new StrictBus(chip, memory, new Resets(chip, () => {}), null);
    if (emulatesCache) bus.cache = new XipCache(memory.flash);
    const rom = new Rom(chip, {
      bus,
      flash,
      flashTimes: TYPICAL_FLASH,
      clock: new ChipClock(),
      leaveMapped: () => {},
      releaseSelect: () => {},
      enterBootDrive: () => {},
    });
    memory.ram.fill(WRITTEN);
    chip.core.PM = true;
    /** Calls a function of the ROM as an image does: by its two letters. */
    const call = (name: string, ...args: readonly number[]): void => {
      chip.core.registers.set(args);
      let at = chip.readUint16(TABLE_AT);
      const code = name.charCodeAt(0) | (name.charCodeAt(1) << 8);
      while (chip.readUint16(at) !== code) at += 4;
      const entry = chip.readUint16(at + 2) & ~1;
      chip.core.PC = entry;
      chip.onBreak(chip.readUint16(entry) & BREAKPOINT_MASK);
    };
    return {
      read: () => chip.readUint8(FLASH_START + PAGE),
      program(...behind: readonly string[]): void {
        call('IF');
        call('EX');
        call('RP', PAGE, RAM_START, 256);
        for (const name of behind) call(name);
        rom.enterMapped();
        bus.mapped = true;
      },
    };
  }

  it('is seen once the cache was flushed', () => {
    const { read, program } = board(true);
    expect(read()).toBe(0xff);
    program('FC');
    expect(read()).toBe(WRITTEN);
  });

  it('is not seen without: what was read before is read again', () => {
    const { read, program } = board(true);
    expect(read()).toBe(0xff);
    program();
    expect(read()).toBe(0xff);
  });

  it('ends the run without, where no cache is emulated', () => {
    expect(() => board(false).program()).toThrow(ImageError);
  });
});
