/** As `shared/bytes/little-endian.ts`, by the runtime. */
import './native';

type Read = (bytes: Uint8Array, offset: number) => number;
type Write = (bytes: Uint8Array, offset: number, value: number) => void;

export const readU16: Read = (bytes, offset) => native.readU16(bytes, offset);
export const readI16: Read = (bytes, offset) => (native.readU16(bytes, offset) << 16) >> 16;
export const readU32: Read = (bytes, offset) => native.readU32(bytes, offset);
export const readI32: Read = (bytes, offset) => native.readU32(bytes, offset) | 0;
export const readF32: Read = (bytes, offset) => native.readF32(bytes, offset);
export const readF64: Read = (bytes, offset) => native.readF64(bytes, offset);

export const writeU16: Write = (bytes, offset, value) => native.writeU16(bytes, offset, value);
export const writeI16 = writeU16;
export const writeU32: Write = (bytes, offset, value) => native.writeU32(bytes, offset, value);
export const writeI32 = writeU32;
export const writeF32: Write = (bytes, offset, value) => native.writeF32(bytes, offset, value);
export const writeF64: Write = (bytes, offset, value) => native.writeF64(bytes, offset, value);
