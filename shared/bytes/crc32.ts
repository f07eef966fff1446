/**
 * CRC-32/ISO-HDLC (reflected polynomial EDB88320h, initial value and final inversion all ones), as
 * catalogued by the CRC RevEng catalogue. Guards link lines, journal entries, settings and images.
 */

/** Signed on purpose: the chip's engine keeps 32-bit integers unboxed, but not larger numbers. */
const TABLE = makeTable();

function makeTable(): Int32Array {
  const table = new Int32Array(256);
  for (let byte = 0; byte < 256; byte++) {
    let value = byte;
    for (let bit = 0; bit < 8; bit++) {
      value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
    }
    table[byte] = value;
  }
  return table;
}

/**
 * CRC of `bytes[start..end)`, unsigned, 0..FFFFFFFFh. To continue over several pieces, pass the CRC
 * of the pieces before as `seed`. The range is clipped to the array.
 */
export function crc32(bytes: Uint8Array, start = 0, end = bytes.length, seed = 0): number {
  const last = Math.min(end, bytes.length);
  let crc = ~seed;
  for (let i = Math.max(start, 0); i < last; i++) {
    // The index is below 256: `?? 0` only satisfies the type.
    crc = (crc >>> 8) ^ (TABLE[(crc ^ (bytes[i] ?? 0)) & 0xff] ?? 0);
  }
  return ~crc >>> 0;
}
