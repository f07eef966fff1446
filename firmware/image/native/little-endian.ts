/**
 * As `shared/bytes/little-endian.ts`: integers by the runtime, the rarer others by a number's own bytes. They are made at
 * each use, because what a module makes at its top cannot be written on the board.
 */
import './native';

type Read = (bytes: Uint8Array, offset: number) => number;
export const { readU16, readU32, writeU16, writeU32 } = native;
export const readI16: Read = (bytes, offset) => (readU16(bytes, offset) << 16) >> 16;
export const readI32: Read = (bytes, offset) => readU32(bytes, offset) | 0;
export { writeU16 as writeI16, writeU32 as writeI32 };

/** `count` bytes from `offset` on. */
function copied(bytes: Uint8Array, offset: number, count: number): ArrayBuffer {
  const copy = new Uint8Array(count);
  for (let i = 0; i < count; i++) copy[i] = bytes[offset + i] ?? 0;
  return copy.buffer;
}

/** All of `number`'s bytes to `offset`. */
function put(bytes: Uint8Array, offset: number, number: Float32Array | Float64Array): void {
  const raw = new Uint8Array(number.buffer);
  for (let i = 0; i < raw.length; i++) bytes[offset + i] = raw[i] ?? 0;
}

/** IEEE 754 single at `offset`; NaN and infinities survive. */
export function readF32(bytes: Uint8Array, offset: number): number {
  return new Float32Array(copied(bytes, offset, 4))[0] ?? 0;
}

/** IEEE 754 double at `offset`; NaN and infinities survive. */
export function readF64(bytes: Uint8Array, offset: number): number {
  return new Float64Array(copied(bytes, offset, 8))[0] ?? 0;
}

/** Writes `value` rounded to an IEEE 754 single. */
export function writeF32(bytes: Uint8Array, offset: number, value: number): void {
  put(bytes, offset, Float32Array.of(value));
}

/** Writes `value` as an IEEE 754 double. */
export function writeF64(bytes: Uint8Array, offset: number, value: number): void {
  put(bytes, offset, Float64Array.of(value));
}
