/**
 * What the runtime does for us in C (`firmware/runtime/bytes.c`): byte loops that take a hundred times as
 * long as bytecode. The build puts the modules beside this one in place of their namesakes in
 * `shared/bytes`, in the image only; `tests/image/native.test.ts` proves that they agree.
 */
export interface Native {
  crc32(bytes: Uint8Array, start: number, end: number, seed: number): number;
  toBase64(bytes: Uint8Array, start: number, end: number): string;
  /** Bytes written into `into`, or -1 when the text is not base64. */
  fromBase64(text: string, into: Uint8Array): number;
  /** Whether all of the text was ASCII and went into `into`. */
  putAscii(text: string, into: Uint8Array): boolean;
  /** Undefined when the bytes are not plain ASCII. */
  asciiText(bytes: Uint8Array, start: number, end: number): string | undefined;
  readU16(bytes: Uint8Array, offset: number): number;
  readU32(bytes: Uint8Array, offset: number): number;
  writeU16(bytes: Uint8Array, offset: number, value: number): void;
  writeU32(bytes: Uint8Array, offset: number, value: number): void;
  readF32(bytes: Uint8Array, offset: number): number;
  readF64(bytes: Uint8Array, offset: number): number;
  writeF32(bytes: Uint8Array, offset: number, value: number): void;
  writeF64(bytes: Uint8Array, offset: number, value: number): void;
}

declare global {
  /** Made by the runtime, before any script runs. */
  var native: Native;
}
