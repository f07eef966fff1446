/** What is written, among bytes read from flash: erased flash reads as FFh. */

const ERASED = 0xff;

/** Bytes up to the last that is not erased, that one included; 0 when all of them are. One that was written as FFh is not told. */
export function writtenBytes(bytes: Uint8Array): number {
  let count = bytes.length;
  while (count > 0 && bytes[count - 1] === ERASED) count--;
  return count;
}
