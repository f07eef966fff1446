/**
 * A block of UF2, the format a boot drive takes (its public specification, "file format"): 512 bytes, with 256 bytes of
 * flash and the address they go to.
 */

export const UF2_BLOCK_BYTES = 512;
export const UF2_PAYLOAD_BYTES = 256;
export const UF2_DATA_OFFSET = 32;
export const UF2_MAGIC = { start0: 0x0a324655, start1: 0x9e5d5157, end: 0x0ab16f30 } as const;
export const UF2_FLAG = { notFlash: 0x0001, familyId: 0x2000, tags: 0x8000 } as const;
export const UF2_FAMILY_RP2040 = 0xe48bff56;

/** A block as the boot ROM reads it. */
export interface Uf2Block {
  readonly address: number;
  /** Its number, and how many there are of the image. */
  readonly number: number;
  readonly blocks: number;
  readonly payload: Uint8Array;
}

/** Its 32-bit words, by their offset in bytes. */
export const uf2Words = (block: Uint8Array) => {
  const view = new DataView(block.buffer, block.byteOffset, block.byteLength);
  return (offset: number) => view.getUint32(offset, true);
};

/** It has the three marks of the format. */
export const isUf2Marked = (word: (offset: number) => number): boolean =>
  word(0) === UF2_MAGIC.start0 && word(4) === UF2_MAGIC.start1 && word(508) === UF2_MAGIC.end;

/** What is written to the drive there, as the ROM of this chip takes it; null for all that it ignores. */
export function readUf2Block(sector: Uint8Array): Uf2Block | null {
  const word = uf2Words(sector);
  const flags = word(8);
  const isOurs = (flags & UF2_FLAG.familyId) !== 0 && word(28) === UF2_FAMILY_RP2040;
  if (!isUf2Marked(word) || !isOurs || (flags & UF2_FLAG.notFlash) !== 0) return null;
  if (word(16) !== UF2_PAYLOAD_BYTES) return null;
  const payload = sector.subarray(UF2_DATA_OFFSET, UF2_DATA_OFFSET + UF2_PAYLOAD_BYTES);
  return { address: word(12), number: word(20), blocks: word(24), payload };
}
