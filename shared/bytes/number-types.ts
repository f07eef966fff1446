/** How numbers lie in the bytes of a record: as whole codes of so many in one unit, or as floating point. */
import {
  readF32,
  readF64,
  readI16,
  readI32,
  readU16,
  readU32,
  writeF32,
  writeF64,
  writeI16,
  writeI32,
  writeU16,
  writeU32,
} from './little-endian';

/** How a number lies in bytes. */
export interface NumberType {
  readonly read: (bytes: Uint8Array, at: number) => number;
  readonly write: (bytes: Uint8Array, at: number, code: number) => void;
  /** Range of whole codes; infinite for floating point, which is stored as it is. */
  readonly low: number;
  readonly high: number;
  /** The code outside the range that stands for NaN. NaN where there is none: NaN becomes 0. */
  readonly none: number;
}

/** Where in a record a number lies, and as what. */
export interface NumberPlace {
  readonly at: number;
  readonly type: NumberType;
  /** Codes in one unit: 10 keeps tenths. */
  readonly scale: number;
}

const type = (
  read: NumberType['read'],
  write: NumberType['write'],
  low = Number.NEGATIVE_INFINITY,
  high = Number.POSITIVE_INFINITY,
  none = Number.NaN,
): NumberType => ({ read, write, low, high, none });

export const U8 = type(
  (bytes, at) => bytes[at] ?? 0,
  (bytes, at, code) => {
    bytes[at] = code;
  },
  0,
  0xff,
);
export const U16 = type(readU16, writeU16, 0, 0xfffe, 0xffff);
export const I16 = type(readI16, writeI16, -0x7fff, 0x7fff, -0x8000);
export const U32 = type(readU32, writeU32, 0, 0xffff_ffff);
export const I32 = type(readI32, writeI32, -0x7fff_ffff, 0x7fff_ffff, -0x8000_0000);
export const F32 = type(readF32, writeF32);
export const F64 = type(readF64, writeF64);
