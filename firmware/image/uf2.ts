/**
 * UF2, the format a board's boot drive takes (its public specification, "file format"): blocks of
 * 512 bytes, each with 256 bytes of flash and the address they go to.
 */
import { FLASH_START } from '../bench/chip/address-map';

const BLOCK_BYTES = 512;
const PAYLOAD_BYTES = 256;
const DATA_OFFSET = 32;
const MAGIC_START_0 = 0x0a324655;
const MAGIC_START_1 = 0x9e5d5157;
const MAGIC_END = 0x0ab16f30;
const FLAG_FAMILY_ID = 0x2000;
const FAMILY_RP2040 = 0xe48bff56;

/** The image, from the start of flash on, as a UF2 file. The last page is filled up with FFh. */
export function toUf2(image: Uint8Array): Uint8Array {
  const blocks = Math.ceil(image.length / PAYLOAD_BYTES);
  const file = new Uint8Array(blocks * BLOCK_BYTES);
  const view = new DataView(file.buffer);
  for (let block = 0; block < blocks; block += 1) {
    const at = block * BLOCK_BYTES;
    const words = [
      MAGIC_START_0,
      MAGIC_START_1,
      FLAG_FAMILY_ID,
      FLASH_START + block * PAYLOAD_BYTES,
      PAYLOAD_BYTES,
      block,
      blocks,
      FAMILY_RP2040,
    ];
    words.forEach((word, index) => {
      view.setUint32(at + 4 * index, word, true);
    });
    const payload = file.subarray(at + DATA_OFFSET, at + DATA_OFFSET + PAYLOAD_BYTES);
    payload.fill(0xff);
    payload.set(image.subarray(block * PAYLOAD_BYTES, (block + 1) * PAYLOAD_BYTES));
    view.setUint32(at + BLOCK_BYTES - 4, MAGIC_END, true);
  }
  return file;
}

/** Flash content of a UF2 file for this chip. Throws a sentence that says what is wrong with it. */
export function fromUf2(file: Uint8Array): Uint8Array {
  if (file.length === 0 || file.length % BLOCK_BYTES !== 0) {
    throw new Error('This is no UF2 file: its length is not a multiple of 512 bytes.');
  }
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const blocks = file.length / BLOCK_BYTES;
  const image = new Uint8Array(blocks * PAYLOAD_BYTES);
  for (let block = 0; block < blocks; block += 1) {
    const at = block * BLOCK_BYTES;
    const word = (offset: number) => view.getUint32(at + offset, true);
    if (word(0) !== MAGIC_START_0 || word(4) !== MAGIC_START_1 || word(508) !== MAGIC_END) {
      throw new Error(`This is no UF2 file: block ${block} lacks its marks.`);
    }
    if (word(28) !== FAMILY_RP2040) {
      throw new Error('This UF2 file is for another chip, not for an RP2040.');
    }
    const offset = word(12) - FLASH_START;
    if (word(16) !== PAYLOAD_BYTES || offset !== block * PAYLOAD_BYTES) {
      throw new Error(`Block ${block} of this UF2 file does not follow the one before it.`);
    }
    image.set(file.subarray(at + DATA_OFFSET, at + DATA_OFFSET + PAYLOAD_BYTES), offset);
  }
  return image;
}
