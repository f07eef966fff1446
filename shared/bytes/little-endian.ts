/**
 * Numbers in byte arrays, little-endian, at any offset. Integers are put together from bytes: the
 * chip faults on unaligned multi-byte loads, so `DataView` is not used. Nothing here checks bounds:
 * reading past the end gives zero bytes, writing past it does nothing. The caller knows its record.
 */

// Both the chip and every host we run on are little-endian; the scratch relies on it.
const scratchF64 = new Float64Array(1);
const scratchF32 = new Float32Array(scratchF64.buffer, 0, 1);
const scratchBytes = new Uint8Array(scratchF64.buffer);

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

/** IEEE 754 single at `offset`; NaN and infinities survive. */
export function readF32(bytes: Uint8Array, offset: number): number {
  for (let i = 0; i < 4; i++) scratchBytes[i] = bytes[offset + i] ?? 0;
  return scratchF32[0] ?? 0;
}

/** IEEE 754 double at `offset`; NaN and infinities survive. */
export function readF64(bytes: Uint8Array, offset: number): number {
  for (let i = 0; i < 8; i++) scratchBytes[i] = bytes[offset + i] ?? 0;
  return scratchF64[0] ?? 0;
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
  scratchF32[0] = value;
  for (let i = 0; i < 4; i++) bytes[offset + i] = scratchBytes[i] ?? 0;
}

/** Writes `value` as an IEEE 754 double. */
export function writeF64(bytes: Uint8Array, offset: number, value: number): void {
  scratchF64[0] = value;
  for (let i = 0; i < 8; i++) bytes[offset + i] = scratchBytes[i] ?? 0;
}
