/**
 * What the runtime does for us in C (`firmware/runtime/bytes.c`). The build puts the modules beside this
 * one in place of their namesakes in `shared/bytes`, in the image only; `tests/image/native.test.ts` proves
 * that they agree. Each is here for what it saves on the emulated chip, all of flash in its cache; those before the last
 * make the start with a full journal 260 ms instead of 850, a status reply 18 instead of 122, a full journal page 63
 * instead of 1,840. A tick is as long without.
 */
export interface Native {
  /** 480 ms of a start, 31 of a status reply, 270 of a page: over flash records and link lines. */
  crc32(bytes: Uint8Array, start: number, end: number, seed: number): number;
  /** 305 ms of a journal page. */
  toBase64(bytes: Uint8Array, start: number, end: number): string;
  /** 73 ms of a status reply, 1,180 of a page. Whether all of the text was ASCII and went into `into`. */
  putAscii(text: string, into: Uint8Array): boolean;
  /** Undefined when the bytes are not plain ASCII. */
  asciiText(bytes: Uint8Array, start: number, end: number): string | undefined;
  /** These and the next: 100 ms of a start, 23 of a page. Bytes outside the array read as zero. */
  readU16(bytes: Uint8Array, offset: number): number;
  readU32(bytes: Uint8Array, offset: number): number;
  writeU16(bytes: Uint8Array, offset: number, value: number): void;
  writeU32(bytes: Uint8Array, offset: number, value: number): void;
  /** 860 ms of a young board's start, 1,200 of one in service: over flash that is erased. */
  writtenBytes(bytes: Uint8Array): number;
}

declare global {
  /** Made by the runtime, before any script runs. */
  var native: Native;
}
