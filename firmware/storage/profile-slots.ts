/**
 * The two profile slots. A slot's first page is its header, programmed last, when the image behind it
 * has been read back and found whole: a half-written slot is never valid. Which slot is in use is the
 * run state's word, not the slot's.
 */
import { FLASH_MAP, FLASH_PAGE_BYTES, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { crc32, readU32, writeU32 } from '../../shared/bytes';
import type { FlashAccess } from './flash-access';
import { programPages } from './settings-record';

const MAGIC = 0x50524f46;
const HEADER_BYTES = 16;
const HEADER = { magic: 0, length: 4, imageCrc: 8, crc: 12 } as const;
const REGIONS = [FLASH_MAP.profileA, FLASH_MAP.profileB] as const;
/** Largest image a slot takes, bytes. */
export const SLOT_IMAGE_BYTES = FLASH_MAP.profileA.bytes - FLASH_PAGE_BYTES;

export interface ProfileSlots {
  /** Empties a slot for an image of `bytes` bytes. False when it is too long or the flash failed. */
  begin(slot: number, bytes: number): boolean;
  /** Writes a piece of the image; each byte once after `begin`. */
  write(slot: number, offset: number, bytes: Uint8Array): boolean;
  /** Makes the slot valid, if the image in it has this CRC-32. */
  seal(slot: number, bytes: number, crc: number): boolean;
  /** Reads image bytes as they are, valid or not. */
  read(slot: number, offset: number, into: Uint8Array): void;
  /** The image of a valid slot, checked against its CRC; null otherwise. */
  load(slot: number): Uint8Array | null;
  /** Length of the image in a slot with a valid header, bytes; 0 otherwise. */
  size(slot: number): number;
}

/** The slots of this flash; reads and writes nothing by itself. */
export function profileSlots(flash: FlashAccess): ProfileSlots {
  const regionOf = (slot: number) => (slot === 1 ? REGIONS[1] : REGIONS[0]);
  const imageAt = (slot: number): number => regionOf(slot).offset + FLASH_PAGE_BYTES;

  function readImage(slot: number, bytes: number): Uint8Array {
    const image = new Uint8Array(bytes);
    flash.flashRead(imageAt(slot), image);
    return image;
  }

  /** The header of a slot, or null when it is not in order. */
  function header(slot: number): { readonly length: number; readonly imageCrc: number } | null {
    const bytes = new Uint8Array(HEADER_BYTES);
    flash.flashRead(regionOf(slot).offset, bytes);
    const length = readU32(bytes, HEADER.length);
    const sound =
      readU32(bytes, HEADER.magic) === MAGIC &&
      readU32(bytes, HEADER.crc) === crc32(bytes, 0, HEADER.crc) &&
      length <= SLOT_IMAGE_BYTES;
    return sound ? { length, imageCrc: readU32(bytes, HEADER.imageCrc) } : null;
  }

  return {
    begin: (slot, bytes) => {
      if (bytes > SLOT_IMAGE_BYTES) return false;
      const { offset, bytes: size } = regionOf(slot);
      // The header's sector first: from here on the old image is not valid, whatever happens.
      for (let at = 0; at < size; at += FLASH_SECTOR_BYTES) {
        if (!flash.flashErase(offset + at)) return false;
      }
      return true;
    },
    write: (slot, offset, bytes) =>
      offset + bytes.length <= SLOT_IMAGE_BYTES &&
      programPages(flash, imageAt(slot) + offset, bytes),
    seal: (slot, bytes, crc) => {
      if (bytes > SLOT_IMAGE_BYTES || crc32(readImage(slot, bytes)) !== crc) return false;
      const head = new Uint8Array(HEADER_BYTES);
      writeU32(head, HEADER.magic, MAGIC);
      writeU32(head, HEADER.length, bytes);
      writeU32(head, HEADER.imageCrc, crc);
      writeU32(head, HEADER.crc, crc32(head, 0, HEADER.crc));
      return flash.flashProgram(regionOf(slot).offset, head) && header(slot) !== null;
    },
    read: (slot, offset, into) => flash.flashRead(imageAt(slot) + offset, into),
    load: (slot) => {
      const head = header(slot);
      if (head === null) return null;
      const image = readImage(slot, head.length);
      return crc32(image) === head.imageCrc ? image : null;
    },
    size: (slot) => header(slot)?.length ?? 0,
  };
}
