/**
 * UF2, the format a board's boot drive takes (its public specification, "file format"): blocks of
 * 512 bytes, each with 256 bytes of flash and the address they go to.
 */
import { FLASH_START } from './map';

export const UF2_BLOCK_BYTES = 512;
export const UF2_PAYLOAD_BYTES = 256;
/** Where the words of a block stand in it, in bytes; its data follow the last but one. */
const FIELD = {
  magicStart0: 0,
  magicStart1: 4,
  flags: 8,
  address: 12,
  payloadBytes: 16,
  number: 20,
  blocks: 24,
  family: 28,
  magicEnd: 508,
} as const;
type Field = keyof typeof FIELD;
const DATA_OFFSET = 32;
const MAGIC_START_0 = 0x0a324655;
const MAGIC_START_1 = 0x9e5d5157;
const MAGIC_END = 0x0ab16f30;
const FLAG_NOT_FLASH = 0x0001;
const FLAG_FAMILY_ID = 0x2000;
const FLAG_TAGS = 0x8000;
const FAMILY_RP2040 = 0xe48bff56;
/** "Extension tags" behind the payload: their length in the first byte, their type in the other three; one without either ends them. */
const TAG_HEAD_BYTES = 4;
const TAG_VERSION = 0x9fc7bc;
/** "SHA-2 checksum of firmware (can be of various size)": here SHA-256, of all pages of the file in their order. */
const TAG_DIGEST = 0xb46db0;

/** A block as the boot ROM reads it. */
export interface Uf2Block {
  readonly address: number;
  /** Its number, and how many there are of the image. */
  readonly number: number;
  readonly blocks: number;
  readonly payload: Uint8Array;
}

interface Placed {
  readonly address: number;
  readonly number: number;
  readonly blocks: number;
}

function headed(flags: number, { address, number, blocks }: Placed): Uint8Array {
  const bytes = new Uint8Array(UF2_BLOCK_BYTES);
  const view = new DataView(bytes.buffer);
  const put = (field: Field, word: number): void => view.setUint32(FIELD[field], word, true);
  put('magicStart0', MAGIC_START_0);
  put('magicStart1', MAGIC_START_1);
  put('flags', flags);
  put('address', address);
  put('payloadBytes', UF2_PAYLOAD_BYTES);
  put('number', number);
  put('blocks', blocks);
  put('family', FAMILY_RP2040);
  bytes.fill(0xff, DATA_OFFSET, FIELD.magicEnd);
  put('magicEnd', MAGIC_END);
  return bytes;
}

/**
 * The image, from the start of flash on, as a UF2 file. The last page is filled up with FFh. The first page, which is the
 * boot stage, comes last: the ROM erases its sector with the first block of the file, so that a board with half an image
 * waits as a drive again, whenever it starts. Each block carries its page's number, for the ROM erases by that (erratum
 * RP2040-E14). `version`: the firmware's, and `sha256`: what makes the digest of the image, as tags of the file's first block.
 */
export function toUf2(
  image: Uint8Array,
  version = '',
  sha256: ((bytes: Uint8Array) => Uint8Array) | null = null,
): Uint8Array {
  const blocks = Math.ceil(image.length / UF2_PAYLOAD_BYTES);
  const tags = [
    ...(version === '' ? [] : [tag(TAG_VERSION, new TextEncoder().encode(version))]),
    ...(sha256 === null ? [] : [tag(TAG_DIGEST, sha256(inPages(image)))]),
  ];
  const file = new Uint8Array(blocks * UF2_BLOCK_BYTES);
  for (let place = 0; place < blocks; place += 1) {
    const number = (place + 1) % blocks;
    const isTagged = place === 0 && tags.length > 0;
    const start = number * UF2_PAYLOAD_BYTES;
    const block = headed(FLAG_FAMILY_ID | (isTagged ? FLAG_TAGS : 0), {
      address: FLASH_START + start,
      number,
      blocks,
    });
    block.set(image.subarray(start, start + UF2_PAYLOAD_BYTES), DATA_OFFSET);
    if (isTagged)
      block.set(
        [...tags, NO_TAG].flatMap((one) => [...one]),
        DATA_OFFSET + UF2_PAYLOAD_BYTES,
      );
    file.set(block, place * UF2_BLOCK_BYTES);
  }
  return file;
}

const NO_TAG = new Uint8Array(TAG_HEAD_BYTES);

/** Filled up to where the next one may begin. */
function tag(type: number, content: Uint8Array): Uint8Array {
  const length = TAG_HEAD_BYTES + content.length;
  const bytes = new Uint8Array(Math.ceil(length / 4) * 4);
  new DataView(bytes.buffer).setUint32(0, ((type << 8) | length) >>> 0, true);
  bytes.set(content, TAG_HEAD_BYTES);
  return bytes;
}

function inPages(image: Uint8Array): Uint8Array {
  const pages = Math.ceil(image.length / UF2_PAYLOAD_BYTES);
  const bytes = new Uint8Array(pages * UF2_PAYLOAD_BYTES).fill(0xff);
  bytes.set(image);
  return bytes;
}

const blocksOf = (file: Uint8Array): readonly Uint8Array[] =>
  Array.from({ length: file.length / UF2_BLOCK_BYTES }, (_, block) =>
    file.subarray(block * UF2_BLOCK_BYTES, (block + 1) * UF2_BLOCK_BYTES),
  );

const viewOf = (bytes: Uint8Array) =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

const wordsOf = (block: Uint8Array) => {
  const view = viewOf(block);
  return (field: Field): number => view.getUint32(FIELD[field], true);
};

const isMarked = (word: (field: Field) => number): boolean =>
  word('magicStart0') === MAGIC_START_0 &&
  word('magicStart1') === MAGIC_START_1 &&
  word('magicEnd') === MAGIC_END;

/** What is written to the drive there, as the ROM of this chip takes it; null for all that it ignores. */
export function readUf2Block(sector: Uint8Array): Uf2Block | null {
  const word = wordsOf(sector);
  const flags = word('flags');
  const isOurs = (flags & FLAG_FAMILY_ID) !== 0 && word('family') === FAMILY_RP2040;
  if (!isMarked(word) || !isOurs || (flags & FLAG_NOT_FLASH) !== 0) return null;
  if (word('payloadBytes') !== UF2_PAYLOAD_BYTES) return null;
  const payload = sector.subarray(DATA_OFFSET, DATA_OFFSET + UF2_PAYLOAD_BYTES);
  return { address: word('address'), number: word('number'), blocks: word('blocks'), payload };
}

/** Flash content of a UF2 file for this chip, whatever the order of its blocks. Throws a sentence that says what is wrong with it. */
export function fromUf2(file: Uint8Array): Uint8Array {
  if (file.length === 0 || file.length % UF2_BLOCK_BYTES !== 0) {
    throw new Error('This is no UF2 file: its length is not a multiple of 512 bytes.');
  }
  const blocks = blocksOf(file);
  const image = new Uint8Array(blocks.length * UF2_PAYLOAD_BYTES);
  const seen = new Set<number>();
  blocks.forEach((block, place) => {
    const word = wordsOf(block);
    if (!isMarked(word)) {
      throw new Error(`This is no UF2 file: block ${place} lacks its marks.`);
    }
    if (word('family') !== FAMILY_RP2040) {
      throw new Error('This UF2 file is for another chip, not for an RP2040.');
    }
    if ((word('flags') & ~FLAG_TAGS) !== FLAG_FAMILY_ID) {
      throw new Error(`Block ${place} of this UF2 file is one that the chip passes over.`);
    }
    const number = word('number');
    const start = number * UF2_PAYLOAD_BYTES;
    if (word('blocks') !== blocks.length || number >= blocks.length || seen.has(number)) {
      throw new Error(`Block ${place} of this UF2 file does not go with the others.`);
    }
    if (word('payloadBytes') !== UF2_PAYLOAD_BYTES || word('address') !== FLASH_START + start) {
      throw new Error(`Block ${place} of this UF2 file says another place than its number.`);
    }
    seen.add(number);
    image.set(block.subarray(DATA_OFFSET, DATA_OFFSET + UF2_PAYLOAD_BYTES), start);
  });
  return image;
}

/** The firmware's version by the tag of a UF2 file; null where it has none. */
export function versionInUf2(file: Uint8Array): string | null {
  const version = tagged(file, TAG_VERSION);
  return version === null ? null : new TextDecoder().decode(version);
}

/** What a UF2 file says its SHA-256 is, of what `fromUf2` gives; null where it says none, as those of older builds. */
export const digestInUf2 = (file: Uint8Array): Uint8Array | null => tagged(file, TAG_DIGEST);

function tagged(file: Uint8Array, type: number): Uint8Array | null {
  const block = blocksOf(file).find((one) => (wordsOf(one)('flags') & FLAG_TAGS) !== 0);
  if (block === undefined) return null;
  const tags = block.subarray(DATA_OFFSET + UF2_PAYLOAD_BYTES, FIELD.magicEnd);
  for (let at = 0; at + TAG_HEAD_BYTES <= tags.length; ) {
    const head = viewOf(tags).getUint32(at, true);
    const bytes = head & 0xff;
    if (bytes <= TAG_HEAD_BYTES || at + bytes > tags.length) return null;
    if (head >>> 8 === type) return tags.subarray(at + TAG_HEAD_BYTES, at + bytes);
    at += Math.ceil(bytes / 4) * 4;
  }
  return null;
}

/**
 * A file of `fromUf2` in the parts that are written to a boot drive one after the other, each on the board before the
 * next: the system may turn the blocks of one part around. First a block of no image: a drive that another copy was begun
 * on would go on with that, and mix the two. Then what takes the boot stage away, then all others, then the boot stage.
 */
export function uf2Parts(file: Uint8Array): readonly Uint8Array[] {
  const blocks = [...blocksOf(file)].sort(
    (one, other) => wordsOf(one)('number') - wordsOf(other)('number'),
  );
  const [bootStage, second, ...rest] = blocks;
  const afresh = headed(FLAG_FAMILY_ID, { address: FLASH_START, number: 0, blocks: 0 });
  const parts = [[afresh], second ? [second] : [], rest, bootStage ? [bootStage] : []];
  return parts.filter((part) => part.length > 0).map((part) => concatenated(part));
}

function concatenated(blocks: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(blocks.length * UF2_BLOCK_BYTES);
  blocks.forEach((block, place) => {
    bytes.set(block, place * UF2_BLOCK_BYTES);
  });
  return bytes;
}
