/** As `shared/bytes/little-endian.ts`: integers by the runtime, the rarer others by itself. */
import './native';

export { readF32, readF64, writeF32, writeF64 } from '../../../shared/bytes/little-endian';

type Read = (bytes: Uint8Array, offset: number) => number;
export const { readU16, readU32, writeU16, writeU32 } = native;
export const readI16: Read = (bytes, offset) => (readU16(bytes, offset) << 16) >> 16;
export const readI32: Read = (bytes, offset) => readU32(bytes, offset) | 0;
export { writeU16 as writeI16, writeU32 as writeI32 };
