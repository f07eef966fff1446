/**
 * A NOR flash chip as it misbehaves in life: program only clears bits, erase sets a whole sector,
 * cells wear out, and a power cut may stop either in the middle. Numbers after the W25Q16 data
 * sheet: 256-byte pages, 4 KB sectors, 100 000 erase cycles.
 */
import { FLASH_BYTES, FLASH_PAGE_BYTES, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import type { FlashAccess } from '../storage/flash-access';
import { Random } from './random';

const ERASED = 0xff;
/** So few bytes are read faster one by one. */
const SHORT_BYTES = 48;
const ENDURANCE_CYCLES = 100_000;

/** Thrown in the middle of the operation that a power cut hits, and by every call until `restore`. */
export class PowerCut extends Error {
  constructor() {
    super('power cut');
    this.name = 'PowerCut';
  }
}

/** A kind of flash chip: what it says of itself (JEDEC: maker, type, size), and where it begins again from its start. */
export interface FlashChip {
  readonly jedec: readonly [number, number, number];
  readonly bytes: number;
}

/** The reference board's, and its smaller sister (data sheets, section "JEDEC ID"; from memory). */
export const W25Q16: FlashChip = { jedec: [0xef, 0x40, 0x15], bytes: 2 * 1024 * 1024 };
export const W25Q80: FlashChip = { jedec: [0xef, 0x40, 0x14], bytes: 1024 * 1024 };

export interface SimulatedFlashOptions {
  /** The reference board's unless given. A smaller one has all that is written to it at each of its places. */
  readonly chip?: FlashChip;
  /** Decides how torn operations tear. */
  readonly seed?: number;
  /** What is on the chip; copied. Default: all erased. */
  readonly contents?: Uint8Array;
  readonly enduranceCycles?: number;
}

/** How an operation that the power cut hits leaves the cells. Chosen by the seed. */
const TORN_WAYS = ['untouched', 'finished', 'front', 'any-bits', 'front-and-any-bits'] as const;
type TornWay = (typeof TORN_WAYS)[number];

export class SimulatedFlash implements FlashAccess {
  /** Erases of each sector since it was made. */
  readonly eraseCounts = new Uint32Array(FLASH_BYTES / FLASH_SECTOR_BYTES);
  /** Programs and erases so far, failed and torn ones included. */
  operations = 0;
  reads = 0;
  bytesRead = 0;
  readonly chip: FlashChip;

  private readonly enduranceCycles: number;
  private readonly random: Random;
  private readonly worn = new Set<number>();
  private cutAtOperation = Number.POSITIVE_INFINITY;
  private powered = true;
  private cells: Uint8Array;

  constructor(options: SimulatedFlashOptions = {}) {
    const { contents } = options;
    if (contents !== undefined && contents.length !== FLASH_BYTES) {
      throw new RangeError(`Flash contents must be ${FLASH_BYTES} bytes.`);
    }
    this.chip = options.chip ?? W25Q16;
    this.cells = contents?.slice() ?? new Uint8Array(FLASH_BYTES).fill(ERASED);
    this.wrap(0, Math.min(this.chip.bytes, FLASH_BYTES));
    this.enduranceCycles = options.enduranceCycles ?? ENDURANCE_CYCLES;
    this.random = new Random(options.seed ?? 1);
  }

  /** What is on the chip. Look, and damage on purpose. */
  get bytes(): Uint8Array {
    return this.cells;
  }

  /** Goes on in this memory; what was taken of `bytes` before is a copy then. Throws where it does not fit. */
  moveTo(memory: Uint8Array): void {
    if (memory.length !== FLASH_BYTES) {
      throw new RangeError(`Flash of ${FLASH_BYTES} bytes in a memory of ${memory.length}.`);
    }
    memory.set(this.cells);
    this.cells = memory;
  }

  flashRead(offset: number, into: Uint8Array): void {
    this.mustHavePower();
    if (offset < 0 || offset + into.length > FLASH_BYTES) {
      throw new RangeError(`Flash read of ${into.length} bytes at ${offset} leaves the chip.`);
    }
    this.reads++;
    this.bytesRead += into.length;
    const { cells } = this;
    if (into.length > SHORT_BYTES) into.set(cells.subarray(offset, offset + into.length));
    else for (let i = 0; i < into.length; i++) into[i] = cells[offset + i] ?? ERASED;
  }

  /** True only when the cells then read as `bytes`: a 0 cannot be programmed back to 1. */
  flashProgram(offset: number, bytes: Uint8Array): boolean {
    this.mustHavePower();
    const inPage = offset % FLASH_PAGE_BYTES;
    if (offset < 0 || offset >= FLASH_BYTES || inPage + bytes.length > FLASH_PAGE_BYTES) {
      throw new RangeError(`Flash program of ${bytes.length} bytes at ${offset} leaves its page.`);
    }
    if (this.isCutNow()) this.tearProgram(offset, bytes);
    let asWanted = true;
    // A worn sector takes every other byte: whatever is written there is damaged.
    const step = this.isWorn(offset) ? 2 : 1;
    const { cells } = this;
    for (let i = 0; i < bytes.length; i++) {
      const wanted = bytes[i] ?? ERASED;
      const was = cells[offset + i] ?? 0;
      const is = i % step === 0 ? was & wanted : was;
      cells[offset + i] = is;
      if (is !== wanted) asWanted = false;
    }
    this.wrap(offset, bytes.length);
    return asWanted;
  }

  flashErase(offset: number): boolean {
    this.mustHavePower();
    if (offset < 0 || offset >= FLASH_BYTES || offset % FLASH_SECTOR_BYTES !== 0) {
      throw new RangeError(`Flash erase at ${offset} is not at the start of a sector.`);
    }
    const sector = offset / FLASH_SECTOR_BYTES;
    this.eraseCounts[sector] = (this.eraseCounts[sector] ?? 0) + 1;
    if (this.isCutNow()) this.tearErase(offset);
    if (this.isWorn(offset)) return false;
    this.bytes.fill(ERASED, offset, offset + FLASH_SECTOR_BYTES);
    this.wrap(offset, FLASH_SECTOR_BYTES);
    return true;
  }

  /**
   * Cuts the power in the middle of the `k`-th program or erase from now (1: the next one).
   * Infinity: not at all.
   */
  cutPowerAt(k: number): void {
    this.cutAtOperation = this.operations + k;
  }

  /** Cuts the power now, between two operations. */
  cutPower(): void {
    this.powered = false;
  }

  /** False from a cut on, until power is back. */
  get isPowered(): boolean {
    return this.powered;
  }

  /** Power is back; contents are as the cut left them. */
  restore(): void {
    this.powered = true;
    this.cutAtOperation = Number.POSITIVE_INFINITY;
  }

  /** Makes the sector at `offset` fail from now on (or work again): erases and programs are refused. */
  setWorn(offset: number, worn: boolean): void {
    const sector = Math.floor(offset / FLASH_SECTOR_BYTES);
    if (worn) this.worn.add(sector);
    else this.worn.delete(sector);
  }

  private mustHavePower(): void {
    if (!this.powered) throw new PowerCut();
  }

  /** What a small chip holds is seen again at each multiple of its size: there are no lines for more address bits. */
  private wrap(offset: number, count: number): void {
    const { bytes: size } = this.chip;
    if (size >= FLASH_BYTES) return;
    for (let at = offset % size; at < FLASH_BYTES; at += size) {
      if (at !== offset) this.cells.copyWithin(at, offset, offset + count);
    }
  }

  private isWorn(offset: number): boolean {
    const sector = Math.floor(offset / FLASH_SECTOR_BYTES);
    return this.worn.has(sector) || (this.eraseCounts[sector] ?? 0) > this.enduranceCycles;
  }

  private isCutNow(): boolean {
    this.operations++;
    return this.operations >= this.cutAtOperation;
  }

  private clearBits(at: number, mask: number): void {
    this.bytes[at] = (this.bytes[at] ?? 0) & mask;
  }

  private tearProgram(offset: number, bytes: Uint8Array): never {
    const { front, inFront, behind } = this.chooseTear(bytes.length);
    for (let i = 0; i < bytes.length; i++) {
      const share = i < front ? inFront : behind;
      // A bit of the mask at 1 leaves the cell as it was.
      this.clearBits(offset + i, (bytes[i] ?? ERASED) | ~this.bitsWithShare(share));
    }
    this.powered = false;
    throw new PowerCut();
  }

  /** Chips program a sector to zero before they erase it, so a torn erase may clear bits as well. */
  private tearErase(offset: number): never {
    const { front, inFront, behind } = this.chooseTear(FLASH_SECTOR_BYTES);
    const zeroing = this.random.share() < 0.3;
    for (let i = 0; i < FLASH_SECTOR_BYTES; i++) {
      const changed = this.bitsWithShare(i < front ? inFront : behind);
      const before = this.bytes[offset + i] ?? 0;
      this.bytes[offset + i] = zeroing ? before & ~changed : before | changed;
    }
    this.powered = false;
    throw new PowerCut();
  }

  /** Up to byte `front` the share `inFront` of the bits has changed, after it the share `behind`. */
  private chooseTear(length: number): { front: number; inFront: number; behind: number } {
    const way: TornWay =
      TORN_WAYS[Math.floor(this.random.between(0, TORN_WAYS.length))] ?? 'untouched';
    const front = Math.floor(this.random.between(0, length + 1));
    const share = this.random.share();
    switch (way) {
      case 'untouched':
        return { front: 0, inFront: 0, behind: 0 };
      case 'finished':
        return { front: length, inFront: 1, behind: 1 };
      case 'front':
        return { front, inFront: 1, behind: 0 };
      case 'any-bits':
        return { front: length, inFront: share, behind: share };
      case 'front-and-any-bits':
        return { front, inFront: 1, behind: share };
    }
  }

  /** A byte in which each bit is 1 with the given probability. */
  private bitsWithShare(share: number): number {
    if (share <= 0) return 0;
    if (share >= 1) return 0xff;
    let bits = 0;
    for (let bit = 1; bit < 0x100; bit <<= 1) if (this.random.share() < share) bits |= bit;
    return bits;
  }
}
