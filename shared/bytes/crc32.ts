/**
 * CRC-32/ISO-HDLC (reflected polynomial EDB88320h, initial value and final inversion all ones), as
 * catalogued by the CRC RevEng catalogue. Guards link lines, journal entries, settings and images.
 */

/**
 * Four tables, one behind the other: of a byte, and of one with one to three bytes behind it, so that four go at once.
 * Signed on purpose: engines keep 32-bit integers unboxed, but not larger numbers.
 */
const TABLES = makeTables();

function makeTables(): Int32Array {
  const tables = new Int32Array(4 * 256);
  for (let byte = 0; byte < 256; byte++) {
    let value = byte;
    for (let bit = 0; bit < 8; bit++) {
      value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
    }
    tables[byte] = value;
  }
  for (let at = 256; at < tables.length; at++) {
    const before = tables[at - 256] ?? 0;
    tables[at] = (before >>> 8) ^ (tables[before & 0xff] ?? 0);
  }
  return tables;
}

// Every index is inside: `?? 0` only satisfies the type.

/**
 * CRC of `bytes[start..end)`, unsigned, 0..FFFFFFFFh. To continue over several pieces, pass the CRC
 * of the pieces before as `seed`. The range is clipped to the array.
 */
export function crc32(bytes: Uint8Array, start = 0, end = bytes.length, seed = 0): number {
  const last = Math.min(end, bytes.length);
  let crc = ~seed;
  let i = Math.max(start, 0);
  for (; i + 4 <= last; i += 4) {
    crc ^=
      (bytes[i] ?? 0) |
      ((bytes[i + 1] ?? 0) << 8) |
      ((bytes[i + 2] ?? 0) << 16) |
      ((bytes[i + 3] ?? 0) << 24);
    crc =
      (TABLES[768 + (crc & 0xff)] ?? 0) ^
      (TABLES[512 + ((crc >>> 8) & 0xff)] ?? 0) ^
      (TABLES[256 + ((crc >>> 16) & 0xff)] ?? 0) ^
      (TABLES[crc >>> 24] ?? 0);
  }
  for (; i < last; i++) {
    crc = (crc >>> 8) ^ (TABLES[(crc ^ (bytes[i] ?? 0)) & 0xff] ?? 0);
  }
  return ~crc >>> 0;
}
