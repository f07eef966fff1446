/** As `shared/bytes/crc32.ts`, by the runtime. */
import './native';

export function crc32(bytes: Uint8Array, start = 0, end = bytes.length, seed = 0): number {
  return native.crc32(bytes, start, end, seed);
}
