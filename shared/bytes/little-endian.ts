/**
 * Numbers in byte arrays, little-endian, at any offset. Integers are put together from bytes: the
 * chip faults on unaligned multi-byte loads, so `DataView` is not used. Nothing here checks bounds:
 * reading past the end gives zero bytes, writing past it does nothing. The caller knows its record.
 *
 * For the others a number's own bytes are used: the chip and every host we run on are little-endian. They
 * are made at each use, because what a module makes at its top cannot be written on the board.
 */

/** Unsigned 16-bit integer at `offset`. */
export function readU16(bytes: Uint8Array, offset: number): number {
  return (bytes[offset] ?? 0) | ((bytes[offset + 1] ?? 0) << 8);
}

/** Signed 16-bit integer at `offset`. */
export function readI16(bytes: Uint8Array, offset: number): number {
  return (readU16(bytes, offset) << 16) >> 16;
}

/** Signed 32-bit integer at `offset`. */
export function readI32(bytes: Uint8Array, offset: number): number {
  return readU16(bytes, offset) | (readU16(bytes, offset + 2) << 16);
}

/** Unsigned 32-bit integer at `offset`. */
export function readU32(bytes: Uint8Array, offset: number): number {
  return readI32(bytes, offset) >>> 0;
}

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

/** Writes the low 16 bits of `value`; serves signed and unsigned. */
export function writeU16(bytes: Uint8Array, offset: number, value: number): void {
  bytes[offset] = value;
  bytes[offset + 1] = value >>> 8;
}

/** Writes a signed 16-bit integer. */
export function writeI16(bytes: Uint8Array, offset: number, value: number): void {
  writeU16(bytes, offset, value);
}

/** Writes the low 32 bits of `value`; serves signed and unsigned. */
export function writeU32(bytes: Uint8Array, offset: number, value: number): void {
  writeU16(bytes, offset, value);
  writeU16(bytes, offset + 2, value >>> 16);
}

/** Writes a signed 32-bit integer. */
export function writeI32(bytes: Uint8Array, offset: number, value: number): void {
  writeU32(bytes, offset, value);
}

/** Writes `value` rounded to an IEEE 754 single. */
export function writeF32(bytes: Uint8Array, offset: number, value: number): void {
  put(bytes, offset, Float32Array.of(value));
}

/** Writes `value` as an IEEE 754 double. */
export function writeF64(bytes: Uint8Array, offset: number, value: number): void {
  put(bytes, offset, Float64Array.of(value));
}
