/**
 * A ring of flash sectors, each opened by a header with a number that only ever rises. The newest
 * number tells where the ring stands after any power cut; a valid header proves that the erase before
 * it was complete. Journal and settings are both built on this. Layout: see README.md here.
 */
import type { FlashRegion } from '../../shared/board/map';
import { FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { crc32, readU16, readU32, writeU16, writeU32 } from '../../shared/bytes';
import type { FlashAccess } from './flash-access';

export const SECTOR_HEADER_BYTES = 32;

const HEADER = { magic: 0, format: 4, number: 8, eraseCount: 12, crc: 28 } as const;
const FORMAT = 1;

/**
 * A failing erase takes up to 0.4 s, and the watchdog waits 8 s: give up and tell after this many. From
 * then on one is tried each time, until a sector takes it.
 */
const ERASES_MAX = 4;

/** What `SectorRing.newest` and `openNext` give when there is no such sector. */
export const NO_SECTOR = -1;

export interface SectorRing {
  readonly sectors: number;
  /** Index (place in the region) of the sector with the highest number, or `NO_SECTOR`. */
  newest(): number;
  /** Number of the sector at `index`, 0 when it holds nothing that is in order. */
  numberOf(index: number): number;
  /** Index of the sector with this number, or `NO_SECTOR`. */
  find(number: number): number;
  /** Lowest number at or above `number` that is in the ring, 0 when there is none. */
  lowestFrom(number: number): number;
  /** The number that the next opened sector gets. */
  nextNumber(): number;
  /**
   * Erases the next sector round the ring that `mayErase` allows (the newest never), gives it the
   * next number and returns its index. Failing sectors are passed over; `NO_SECTOR` when too many.
   */
  openNext(mayErase?: (index: number) => boolean): number;
  /** Start of a sector in flash. */
  offsetOf(index: number): number;
  eraseCountMax(): number;
}

/**
 * Reads the headers of `region`; writes nothing. `numberByContents` may tell the number of a sector
 * whose header is damaged, from what else is in it (0: cannot).
 */
export function openSectorRing(
  flash: FlashAccess,
  region: FlashRegion,
  magic: number,
  numberByContents: (offset: number) => number = () => 0,
): SectorRing {
  const sectors = region.bytes / FLASH_SECTOR_BYTES;
  const numbers = new Uint32Array(sectors);
  const header = new Uint8Array(SECTOR_HEADER_BYTES);
  const offsetOf = (index: number): number => region.offset + index * FLASH_SECTOR_BYTES;
  let eraseCountMax = 0;
  let newest = NO_SECTOR;
  let highest = 0;

  /** Erase count in the header at `index`, 0 when the header is not in order. Fills `header`. */
  const readHeader = (index: number): number => {
    flash.flashRead(offsetOf(index), header);
    if (readU32(header, HEADER.magic) !== magic || readU16(header, HEADER.format) !== FORMAT) {
      return 0;
    }
    return readU32(header, HEADER.crc) === crc32(header, 0, HEADER.crc)
      ? readU32(header, HEADER.eraseCount)
      : 0;
  };

  const writeHeader = (index: number, number: number, eraseCount: number): boolean => {
    header.fill(0);
    writeU32(header, HEADER.magic, magic);
    writeU16(header, HEADER.format, FORMAT);
    writeU32(header, HEADER.number, number);
    writeU32(header, HEADER.eraseCount, eraseCount);
    writeU32(header, HEADER.crc, crc32(header, 0, HEADER.crc));
    return flash.flashProgram(offsetOf(index), header);
  };

  for (let index = 0; index < sectors; index++) {
    const eraseCount = readHeader(index);
    eraseCountMax = Math.max(eraseCountMax, eraseCount);
    const number =
      eraseCount > 0 ? readU32(header, HEADER.number) : numberByContents(offsetOf(index));
    numbers[index] = number;
    if (number > highest) {
      highest = number;
      newest = index;
    }
  }
  /** A sector that would not erase keeps a number that the ring has long left behind. */
  const dropLeftBehind = (): void => {
    for (let index = 0; index < sectors; index++) {
      if ((numbers[index] ?? 0) + sectors <= highest) numbers[index] = 0;
    }
  };
  dropLeftBehind();
  let tried = newest;
  let erasesMax = ERASES_MAX;

  return {
    sectors,
    offsetOf,
    newest: () => newest,
    numberOf: (index) => numbers[index] ?? 0,
    find: (number) => (number > 0 ? numbers.indexOf(number) : NO_SECTOR),
    lowestFrom: (number) => {
      let lowest = 0;
      for (let index = 0; index < sectors; index++) {
        const other = numbers[index] ?? 0;
        if (other >= number && other > 0 && (lowest === 0 || other < lowest)) lowest = other;
      }
      return lowest;
    },
    nextNumber: () => highest + 1,
    openNext: (mayErase = () => true) => {
      let erases = 0;
      for (let step = 0; step < sectors && erases < erasesMax; step++) {
        tried = (tried + 1) % sectors;
        if (tried === newest || !mayErase(tried)) continue;
        erases++;
        // A sector whose own count is lost has been round the ring as often as the others.
        const ownCount = readHeader(tried);
        const eraseCount = ownCount > 0 ? ownCount + 1 : Math.max(eraseCountMax, 1);
        if (!flash.flashErase(offsetOf(tried))) {
          // Nothing may have happened to it: then what it holds can still be read.
          if (readHeader(tried) === 0) numbers[tried] = 0;
          continue;
        }
        numbers[tried] = 0;
        // Counted even when it fails: a number that may be on the flash is never given again.
        highest++;
        if (!writeHeader(tried, highest, eraseCount)) continue;
        numbers[tried] = highest;
        newest = tried;
        eraseCountMax = Math.max(eraseCountMax, eraseCount);
        dropLeftBehind();
        erasesMax = ERASES_MAX;
        return tried;
      }
      erasesMax = 1;
      return NO_SECTOR;
    },
    eraseCountMax: () => eraseCountMax,
  };
}
