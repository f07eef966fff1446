/**
 * The drive that the RP2040's boot ROM shows while it waits for an image (data sheet 2.8.4.2; what it does with each block:
 * the ROM's published source, `virtual_disk.c`).
 */
import {
  FLASH_BYTES,
  FLASH_PAGE_BYTES,
  FLASH_SECTOR_BYTES,
  FLASH_START,
} from '../../shared/board/map';
import { readUf2Block, type Uf2Block } from '../../shared/board/uf2';
import { PowerCut, type SimulatedFlash } from './flash';

const PAGES_PER_SECTOR = FLASH_SECTOR_BYTES / FLASH_PAGE_BYTES;

export class BootDrive {
  /** Blocks of the image under way; 0: none is. */
  private blocks = 0;
  private readonly taken = new Set<number>();
  private readonly erased = new Set<number>();
  private hasErased = false;

  constructor(private readonly flash: SimulatedFlash) {}

  /** All of an image is on the flash: the ROM starts it. */
  get isComplete(): boolean {
    return this.blocks > 0 && this.taken.size === this.blocks;
  }

  /** The flash is no longer as it was. */
  get isBegun(): boolean {
    return this.hasErased;
  }

  /** The host writes these 512 bytes somewhere. False where the power went in the middle of what the flash did with them. */
  take(sector: Uint8Array): boolean {
    try {
      this.takeBlock(sector);
      return true;
    } catch (error) {
      if (error instanceof PowerCut) return false;
      throw error;
    }
  }

  private takeBlock(sector: Uint8Array): void {
    const block = readUf2Block(sector);
    if (block === null || this.isComplete) return;
    const offset = block.address - FLASH_START;
    const isFlash = offset >= 0 && offset < FLASH_BYTES && offset % FLASH_PAGE_BYTES === 0;
    if (!isFlash || block.blocks !== this.blocks) this.beginAfresh(isFlash ? block.blocks : 0);
    if (block.number >= this.blocks) this.beginAfresh(0);
    else if (!this.taken.has(block.number)) this.write(block, offset);
  }

  private beginAfresh(blocks: number): void {
    this.blocks = blocks;
    this.taken.clear();
    this.erased.clear();
  }

  private write({ number, payload }: Uf2Block, offset: number): void {
    // By the number of the block, not by its address: erratum RP2040-E14.
    const group = Math.floor(number / PAGES_PER_SECTOR);
    if (!this.erased.has(group)) {
      this.hasErased = true;
      this.erased.add(group);
      this.flash.flashErase(offset - (offset % FLASH_SECTOR_BYTES));
    }
    this.taken.add(number);
    this.flash.flashProgram(offset, payload);
  }
}
