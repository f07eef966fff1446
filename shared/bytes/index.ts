export { fromBase64, toBase64 } from './base64';
export { crc32 } from './crc32';
export {
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
export {
  F32,
  F64,
  I16,
  I32,
  type NumberPlace,
  type NumberType,
  U8,
  U16,
  U32,
} from './number-types';
export { isSameBytes } from './same';
export { decodeUtf8, encodeUtf8 } from './utf8';
export { writtenBytes } from './written';
