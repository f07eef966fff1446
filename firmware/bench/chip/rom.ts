/**
 * What the chip's ROM does for us (RP2040 data sheet 2.8): checks and starts the boot stage, and
 * offers flash functions by a table of two-letter codes. Each function is a breakpoint here, at which
 * the emulation does the work, takes the time it takes, and lets the power fail in the middle.
 */
import type { RP2040 } from 'rp2040js';
import { FLASH_PAGE_BYTES, FLASH_SECTOR_BYTES } from '../../../shared/board/map';
import { PowerCut, type SimulatedFlash } from '../flash';
import { RAM_BYTES, RAM_START, ROM_BYTES } from './address-map';
import { BOOT_STAGE_BYTES, bootStageIsSound } from './boot-stage';
import { BusFault, ImageError, type StrictBus } from './bus';
import type { ChipClock } from './clock';
import { RING_OSCILLATOR_MHZ } from './oscillators';

/** How long the flash chip takes. */
export interface FlashTimes {
  readonly eraseSectorMs: number;
  readonly programPageMs: number;
  /** Whether it can be told to let others in while it erases. */
  readonly suspends: boolean;
  /** How soon it then does; `SUSPEND_US` unless given. */
  readonly suspendUs?: number;
}

/** From the command to suspend to the moment when others may be given, at most (tSUS of the W25Q16JV data sheet). */
export const SUSPEND_US = 20;

/** W25Q16JV data sheet, section 9.6 (from memory): tSE and tPP of a chip as most are, and the slowest. */
export const TYPICAL_FLASH: FlashTimes = { eraseSectorMs: 45, programPageMs: 0.4, suspends: true };
export const SLOWEST_FLASH: FlashTimes = { eraseSectorMs: 400, programPageMs: 3, suspends: true };
/** One as slow of a maker whose chips take no notice of the command to suspend. */
export const STUBBORN_FLASH: FlashTimes = { ...SLOWEST_FLASH, suspends: false };
const NANOS_PER_MS = 1e6;

/**
 * From reset to the boot stage, which is where an emulated board begins. By the ROM's source
 * (raspberrypi/pico-bootrom-rp2040), at the ring oscillator's nominal speed: 1,300 cycles of looking at the chip select,
 * 12,300 in which pads charge, "around 4 ms" of reading and checking the boot stage, 1,000 of flushing the cache. At its
 * slowest 22 ms. How long the supply takes before is the board's.
 */
export const ROM_MS = (1_300 + 12_300 + 1_000) / (1000 * RING_OSCILLATOR_MHZ) + 4;

/** The last 256 bytes of RAM. */
const BOOT_STAGE_ADDRESS = RAM_START + RAM_BYTES - BOOT_STAGE_BYTES;
/** Where the ROM tells of its table of functions and of what looks one up (data sheet 2.8.3). */
const TABLE_POINTER = 0x14;
const LOOKUP_POINTER = 0x18;
/** Where both lie, and the functions themselves: anywhere in the ROM. */
const TABLE = 0x100;
const LOOKUP = 0x80;
const FUNCTIONS = 0x200;
/** Thumb code: BKPT with the number of the function, BX LR. */
const BREAKPOINT = 0xbe00;
const RETURN = 0x4770;
const LOOKUP_TRAP = 0xf0;
const INSTRUCTION_BYTES = 2;
const FUNCTION_TRAPS = ['RE', 'RP', 'IF', 'EX', 'FC', 'UB'] as const;
type RomFunction = (typeof FUNCTION_TRAPS)[number];

export interface RomHooks {
  readonly bus: StrictBus;
  readonly flash: SimulatedFlash;
  readonly flashTimes: FlashTimes;
  readonly clock: ChipClock;
  /** The serial interface is set up for plain commands. */
  readonly leaveMapped: () => void;
  /** The cache flush also ends the forcing of the chip select. */
  readonly releaseSelect: () => void;
  /** Restarts as a drive: the pin that tells of its use, and the interfaces that it leaves out, as bits. */
  readonly enterBootDrive: (activityPins: number, leftOut: number) => void;
}

/** What the ROM may erase at once, and the flash's command for it (W25Q16JV data sheet, section 8). */
const BLOCK_ERASES: Readonly<Record<number, number>> = { 65536: 0xd8, 32768: 0x52 };

export class Rom {
  private readonly table: DataView;
  /** The pins of the flash are the serial interface's; and the cache has nothing from before an operation. */
  private isConnected = false;
  private isFlushed = true;

  constructor(
    private readonly chip: RP2040,
    private readonly hooks: RomHooks,
  ) {
    this.table = new DataView(chip.bootrom.buffer);
    this.install();
    chip.onBreak = (code) => this.trap(code);
  }

  /** Power-up or watchdog restart, up to the first instruction of the boot stage. */
  start(): void {
    const { chip, hooks } = this;
    const stage = hooks.flash.bytes.subarray(0, BOOT_STAGE_BYTES);
    if (!bootStageIsSound(stage)) {
      throw new ImageError('The boot stage is damaged: the chip waits as a USB drive.');
    }
    chip.sram.set(stage, BOOT_STAGE_ADDRESS - RAM_START);
    hooks.bus.mapped = false;
    chip.core.SP = BOOT_STAGE_ADDRESS;
    chip.core.LR = 0;
    chip.core.PC = BOOT_STAGE_ADDRESS;
  }

  private install(): void {
    const { table } = this;
    const place = (address: number, trap: number) => {
      table.setUint16(address, BREAKPOINT | trap, true);
      table.setUint16(address + 2, RETURN, true);
    };
    table.setUint16(TABLE_POINTER, TABLE, true);
    table.setUint16(LOOKUP_POINTER, LOOKUP | 1, true);
    place(LOOKUP, LOOKUP_TRAP);
    FUNCTION_TRAPS.forEach((name, index) => {
      table.setUint16(TABLE + 4 * index, name.charCodeAt(0) | (name.charCodeAt(1) << 8), true);
      table.setUint16(TABLE + 4 * index + 2, (FUNCTIONS + 4 * index) | 1, true);
      place(FUNCTIONS + 4 * index, index);
    });
  }

  private trap(code: number): void {
    const { registers, PC } = this.chip.core;
    // Without a debugger a breakpoint is a fault, and so is UDF, which the emulator takes for one.
    if (PC >= ROM_BYTES) throw new BusFault('breakpoint', PC - INSTRUCTION_BYTES);
    const [r0 = 0, r1 = 0, r2 = 0, r3 = 0] = registers;
    if (code === LOOKUP_TRAP) {
      registers[0] = this.find(r0, r1);
      return;
    }
    const name = FUNCTION_TRAPS[code];
    if (name !== undefined) this.call(name, r0, r1, r2, r3);
  }

  private find(table: number, code: number): number {
    for (let at = table; this.table.getUint16(at, true) !== 0; at += 4) {
      if (this.table.getUint16(at, true) === (code & 0xffff)) {
        return this.table.getUint16(at + 2, true);
      }
    }
    return 0;
  }

  /**
   * The flash is mapped again: its pins are no more the commands'. Throws when the cache may know better, unless it is
   * emulated, and shows what it knows.
   */
  enterMapped(): void {
    this.isConnected = false;
    if (!this.isFlushed && this.hooks.bus.cache === null)
      throw new ImageError('Mapped mode with a cache that was not flushed.');
  }

  private call(name: RomFunction, r0: number, r1: number, r2: number, r3: number): void {
    const { bus } = this.hooks;
    switch (name) {
      case 'IF':
        this.isConnected = true;
        return;
      case 'EX':
        if (!this.isConnected) throw new ImageError('XIP left without connecting the flash.');
        this.isFlushed = false;
        bus.mapped = false;
        this.hooks.leaveMapped();
        return;
      case 'FC':
        this.isFlushed = true;
        bus.cache?.flush();
        this.hooks.releaseSelect();
        return;
      case 'UB':
        this.hooks.enterBootDrive(r0, r1);
        return;
      case 'RE':
        if (BLOCK_ERASES[r2] !== (r3 & 0xff)) {
          throw new ImageError(
            `Flash erase by blocks of ${r2} bytes with command 0x${r3.toString(16)}.`,
          );
        }
        this.erase(r0, r1);
        return;
      case 'RP':
        this.program(r0, r1, r2);
    }
  }

  private erase(offset: number, count: number): void {
    this.mustBeReady('erase', offset, count, FLASH_SECTOR_BYTES);
    for (let at = offset; at < offset + count; at += FLASH_SECTOR_BYTES) {
      this.timed(this.hooks.flashTimes.eraseSectorMs, () => this.hooks.flash.flashErase(at));
    }
  }

  private program(offset: number, from: number, count: number): void {
    this.mustBeReady('program', offset, count, FLASH_PAGE_BYTES);
    for (let done = 0; done < count; done += FLASH_PAGE_BYTES) {
      const page = new Uint8Array(FLASH_PAGE_BYTES);
      for (let i = 0; i < page.length; i += 1) page[i] = this.chip.readUint8(from + done + i);
      this.timed(this.hooks.flashTimes.programPageMs, () =>
        this.hooks.flash.flashProgram(offset + done, page),
      );
    }
  }

  /** The processor waits in ROM; timers, lines and converter go on. */
  private timed(ms: number, work: () => boolean): void {
    const nanos = ms * NANOS_PER_MS;
    try {
      work();
    } catch (error) {
      if (error instanceof PowerCut) this.hooks.clock.tick(nanos / 2);
      throw error;
    }
    this.hooks.clock.tick(nanos);
  }

  private mustBeReady(what: string, offset: number, count: number, unit: number): void {
    if (this.hooks.bus.mapped) throw new ImageError(`Flash ${what} while in mapped mode.`);
    if (!this.chip.core.PM) throw new ImageError(`Flash ${what} with interrupts on.`);
    if (offset % unit !== 0 || count % unit !== 0) {
      throw new ImageError(`Flash ${what} of ${count} bytes at 0x${offset.toString(16)}.`);
    }
  }
}
