/**
 * Numbers in byte arrays, little-endian, at any offset. Integers are put together from bytes: the
 * chip faults on unaligned multi-byte loads, so `DataView` is not used. Nothing here checks bounds:
 * reading past the end gives zero bytes, writing past it does nothing. The caller knows its record.
 *
 * For the others a number's own bytes are used: the chip and every host we run on are little-endian. The board has others
 * of these (`firmware/image/native`), because what a module makes at its top cannot be written there.
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

const F32 = new Float32Array(1);
const F32_BYTES = new Uint8Array(F32.buffer);
const F64 = new Float64Array(1);
const F64_BYTES = new Uint8Array(F64.buffer);

/** `into.length` bytes from `offset` on. */
function take(into: Uint8Array, bytes: Uint8Array, offset: number): void {
  for (let i = 0; i < into.length; i++) into[i] = bytes[offset + i] ?? 0;
}

/** All of `raw` to `offset`. */
function put(bytes: Uint8Array, offset: number, raw: Uint8Array): void {
  for (let i = 0; i < raw.length; i++) bytes[offset + i] = raw[i] ?? 0;
}

/** IEEE 754 single at `offset`; NaN and infinities survive. */
export function readF32(bytes: Uint8Array, offset: number): number {
  take(F32_BYTES, bytes, offset);
  return F32[0] ?? 0;
}

/** IEEE 754 double at `offset`; NaN and infinities survive. */
export function readF64(bytes: Uint8Array, offset: number): number {
  take(F64_BYTES, bytes, offset);
  return F64[0] ?? 0;
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
  F32[0] = value;
  put(bytes, offset, F32_BYTES);
}

/** Writes `value` as an IEEE 754 double. */
export function writeF64(bytes: Uint8Array, offset: number, value: number): void {
  F64[0] = value;
  put(bytes, offset, F64_BYTES);
}
