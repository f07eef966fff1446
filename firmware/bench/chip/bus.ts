/**
 * The emulated chip's memory bus, stricter than the emulator's own: unaligned accesses and addresses
 * where nothing is are faults, as on silicon. So are mistakes that silicon bears in silence: stores to flash
 * (it drops the cache's line, data sheet 2.6.3.2) and the use of peripherals still held in reset. Any
 * access to flash while it is being written, or to a sector whose erase is suspended, is an error of the image and ends
 * the run.
 */
import type { Peripheral, RP2040 } from 'rp2040js';
import { FLASH_BYTES, FLASH_SECTOR_BYTES, FLASH_START } from '../../../shared/board/map';
import { RAM_BYTES, RAM_START, ROM_BYTES } from './address-map';
import type { Resets } from './registers';
import type { ChipMemory } from './translation/memory';
import type { XipCache } from './xip-cache';

/** Becomes a HardFault in the processor. */
export class BusFault extends Error {
  override readonly name = 'BusFault';
  constructor(
    readonly what: string,
    readonly address: number,
  ) {
    super(`${what} at 0x${address.toString(16).padStart(8, '0')}`);
  }
}

/** The image did what would hang or corrupt a real chip; no handler may hide it. */
export class ImageError extends Error {
  override readonly name = 'ImageError';
}

/** Four views of the same flash: with and without cache (RP2040 data sheet 2.6.3). */
const XIP_END = 0x14000000;
const CACHED_VIEW_END = 0x11000000;
const XIP_OFFSET_MASK = 0xffffff;
const DUAL_PORT_START = 0x50100000;
const DUAL_PORT_BYTES = 4096;
const SIO_START = 0xd0000000;
const SIO_BYTES = 0x200;
/** The processor's own peripherals, by page of address (ARMv6-M manual B3.1.1). */
const PPB_PAGE = 0xe000e;

/** Addresses of flash that take stores: only for the build, which makes part of the image so. */
export interface WritableFlash {
  readonly from: number;
  readonly to: number;
}

/** What a broken image would store to a peripheral instead, null for nothing; and what it would take as read, null for what is there. */
export interface Breakage {
  store?(address: number, value: number): number | null;
  load?(address: number): number | null;
}

/** A peripheral that was used, and what may hold it in reset. */
interface Used {
  /** Its address by its first bits. */
  readonly page: number;
  readonly peripheral: Peripheral;
  readonly heldBy: number;
  readonly name: string;
}
const PAGE_BITS = 14;
const PAGE_MASK = 0x3fff;
/** The four ways to store to a peripheral, by address (RP2040 data sheet 2.1.2). */
const ATOMIC_LSB = 12;
const REGISTER_MASK = 0xfff;

export class StrictBus {
  /** False while the flash is busy or not in mapped mode. */
  mapped = true;
  /** Offset of the sector whose erase is suspended while it is mapped; null: none is. */
  halfErased: number | null = null;
  /** What flash is read through; null: read as if every word were in the cache. */
  cache: XipCache | null = null;
  /** For tests of this strictness. */
  breakage: Breakage = {};
  /** The last one: mostly it is used again at once. */
  private used: Used | null = null;
  private readonly stock: Pick<
    RP2040,
    'readUint32' | 'readUint16' | 'readUint8' | 'writeUint32' | 'writeUint16' | 'writeUint8'
  >;
  private readonly ram8: Uint8Array;
  private readonly ram16: Uint16Array;
  private readonly ram32: Uint32Array;
  private readonly flash8: Uint8Array;
  private readonly flash16: Uint16Array;
  private readonly flash32: Uint32Array;

  constructor(
    private readonly chip: RP2040,
    { ram, flash }: ChipMemory,
    private readonly resets: Resets,
    private readonly writable: WritableFlash | null,
  ) {
    this.ram8 = ram;
    this.ram16 = new Uint16Array(ram.buffer, ram.byteOffset, RAM_BYTES / 2);
    this.ram32 = new Uint32Array(ram.buffer, ram.byteOffset, RAM_BYTES / 4);
    this.flash8 = flash;
    this.flash16 = new Uint16Array(flash.buffer, flash.byteOffset, FLASH_BYTES / 2);
    this.flash32 = new Uint32Array(flash.buffer, flash.byteOffset, FLASH_BYTES / 4);
    this.stock = {
      readUint32: chip.readUint32.bind(chip),
      readUint16: chip.readUint16.bind(chip),
      readUint8: chip.readUint8.bind(chip),
      writeUint32: chip.writeUint32.bind(chip),
      writeUint16: chip.writeUint16.bind(chip),
      writeUint8: chip.writeUint8.bind(chip),
    };
    chip.readUint32 = (address) => this.read32(address >>> 0);
    chip.readUint16 = (address) => this.read16(address >>> 0);
    chip.readUint8 = (address) => this.read8(address >>> 0);
    chip.writeUint32 = (address, value) => this.write32(address >>> 0, value);
    chip.writeUint16 = (address, value) => this.write16(address >>> 0, value);
    chip.writeUint8 = (address, value) => this.write8(address >>> 0, value);
  }

  private read32(address: number): number {
    if ((address & 3) !== 0) throw new BusFault('unaligned word load', address);
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) return this.ram32[inRam >>> 2] ?? 0;
    if (address >= FLASH_START && address < XIP_END) {
      return this.flashWord(address);
    }
    const { load } = this.breakage;
    if (load !== undefined) {
      this.mustExist(address);
      const instead = load(address);
      if (instead !== null) return instead;
    }
    return this.register(address);
  }

  private read16(address: number): number {
    if ((address & 1) !== 0) throw new BusFault('unaligned halfword load', address);
    if (address >= FLASH_START && address < XIP_END) {
      return (this.flashWord(address) >>> (8 * (address & 2))) & 0xffff;
    }
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) return this.ram16[inRam >>> 1] ?? 0;
    const word = this.register((address & ~3) >>> 0);
    return (address & 2) === 0 ? word & 0xffff : word >>> 16;
  }

  private read8(address: number): number {
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) return this.ram8[inRam] ?? 0;
    if (address >= FLASH_START && address < XIP_END) {
      return (this.flashWord(address) >>> (8 * (address & 3))) & 0xff;
    }
    const word = this.register((address & ~3) >>> 0);
    return (word >>> (8 * (address & 3))) & 0xff;
  }

  private write32(address: number, value: number): void {
    if ((address & 3) !== 0) throw new BusFault('unaligned word store', address);
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) {
      this.ram32[inRam >>> 2] = value;
      return;
    }
    if (this.isWritableFlash(address)) {
      this.flash32[this.inFlash(address) >>> 2] = value;
      return;
    }
    const used = this.mustTakeStores(address);
    const { store } = this.breakage;
    const stored = store === undefined ? value : store(address, value);
    if (stored === null) return;
    if (isSio(address)) this.chip.sio.writeUint32(address - SIO_START, stored);
    else if (used === null) this.stock.writeUint32(address, stored);
    else
      used.peripheral.writeUint32Atomic(
        address & REGISTER_MASK,
        stored,
        (address >>> ATOMIC_LSB) & 3,
      );
  }

  private write16(address: number, value: number): void {
    if ((address & 1) !== 0) throw new BusFault('unaligned halfword store', address);
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) {
      this.ram16[inRam >>> 1] = value;
      return;
    }
    if (this.isWritableFlash(address)) {
      this.flash16[this.inFlash(address) >>> 1] = value;
      return;
    }
    this.mustTakeStores(address);
    this.stock.writeUint16(address, value);
  }

  private write8(address: number, value: number): void {
    const inRam = address - RAM_START;
    if (inRam >= 0 && inRam < RAM_BYTES) {
      this.ram8[inRam] = value;
      return;
    }
    if (this.isWritableFlash(address)) {
      this.flash8[this.inFlash(address)] = value;
      return;
    }
    this.mustTakeStores(address);
    this.stock.writeUint8(address, value);
  }

  /** The word of flash that the address lies in. */
  private flashWord(address: number): number {
    const offset = this.inFlash(address);
    if (this.cache === null) return this.flash32[offset >>> 2] ?? 0;
    if (address >= CACHED_VIEW_END) {
      throw new ImageError(`Flash read past its cache: 0x${address.toString(16)}.`);
    }
    return this.cache.word(offset & ~3);
  }

  private isWritableFlash(address: number): boolean {
    const { writable } = this;
    return writable !== null && address >= writable.from && address < writable.to;
  }

  private inFlash(address: number): number {
    if (!this.mapped) {
      const pc = this.chip.core.PC.toString(16);
      throw new ImageError(
        `Flash used while it is being written: 0x${address.toString(16)} (pc 0x${pc}).`,
      );
    }
    const offset = address & XIP_OFFSET_MASK;
    if (offset >= FLASH_BYTES) throw new BusFault('load beyond the flash', address);
    const { halfErased } = this;
    if (halfErased !== null && offset >= halfErased && offset < halfErased + FLASH_SECTOR_BYTES) {
      throw new ImageError(
        `Flash read from a sector that is half erased: 0x${address.toString(16)}.`,
      );
    }
    return offset;
  }

  /** A word that is neither in RAM nor in flash. */
  private register(address: number): number {
    const used = this.mustExist(address);
    if (used !== null) return used.peripheral.readUint32(address & PAGE_MASK);
    return isSio(address)
      ? this.chip.sio.readUint32(address - SIO_START)
      : this.stock.readUint32(address);
  }

  private mustTakeStores(address: number): Used | null {
    if (address < XIP_END && (address >= FLASH_START || address < ROM_BYTES)) {
      throw new BusFault(address < ROM_BYTES ? 'store to ROM' : 'store to flash', address);
    }
    return this.mustExist(address);
  }

  /** The peripheral at this address; null for what is there without being one. */
  private mustExist(address: number): Used | null {
    if (address < ROM_BYTES || address >>> 12 === PPB_PAGE || isSio(address)) return null;
    const isDualPort = address >= DUAL_PORT_START && address < DUAL_PORT_START + DUAL_PORT_BYTES;
    const { resets } = this;
    if (isDualPort) {
      const { mask, name } = resets.holderAt(address);
      if (resets.isHeld(mask)) throw usedInReset(name, address);
      return null;
    }
    const used = this.usedAt(address);
    if (resets.isHeld(used.heldBy)) throw usedInReset(used.name, address);
    return used;
  }

  private usedAt(address: number): Used {
    const page = address >>> PAGE_BITS;
    if (this.used !== null && this.used.page === page) return this.used;
    const peripheral = this.chip.findPeripheral(address);
    if (peripheral === undefined) throw new BusFault('nothing', address);
    const { mask, name } = this.resets.holderAt(address);
    this.used = { page, peripheral, heldBy: mask, name };
    return this.used;
  }
}

const isSio = (address: number): boolean => address >= SIO_START && address < SIO_START + SIO_BYTES;

const usedInReset = (name: string, address: number): ImageError =>
  new ImageError(`${name} used at 0x${address.toString(16)} while held in reset.`);
