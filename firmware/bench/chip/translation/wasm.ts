/**
 * WebAssembly as bytes (W3C, WebAssembly Core Specification 1.0, with the sign extension operators of 2.0): what
 * translated code is made of. An expression is the bytes that leave its value, an i32, on the stack.
 */

/** Bytes, and what is put among them: copied but once, when all of it is written. */
export type Wasm = readonly (number | Wasm)[];

const ONE_BYTE: readonly (readonly number[])[] = Array.from({ length: 0x80 }, (_, value) => [
  value,
]);

/** Binary format, 5.2.2: integers by seven bits a byte. */
export function unsigned(value: number): readonly number[] {
  const short = ONE_BYTE[value];
  if (short !== undefined) return short;
  const bytes: number[] = [];
  let rest = value >>> 0;
  do {
    const low = rest & 0x7f;
    rest >>>= 7;
    bytes.push(rest === 0 ? low : low | 0x80);
  } while (rest !== 0);
  return bytes;
}
export function signed(value: number): readonly number[] {
  const bytes: number[] = [];
  let rest = value | 0;
  for (;;) {
    const low = rest & 0x7f;
    rest >>= 7;
    const isLast = (rest === 0 && low < 0x40) || (rest === -1 && low >= 0x40);
    bytes.push(isLast ? low : low | 0x80);
    if (isLast) return bytes;
  }
}

const binary =
  (operator: number) =>
  (a: Wasm, b: Wasm): Wasm => [a, b, operator];
const unary =
  (operator: number) =>
  (a: Wasm): Wasm => [a, operator];

export const int = (value: number): Wasm => [0x41, signed(value)];
export const isZero = unary(0x45);
export const equal = binary(0x46);
export const less = binary(0x49);
export const more = binary(0x4b);
export const atMost = binary(0x4d);
export const atLeast = binary(0x4f);
export const plus = binary(0x6a);
export const minus = binary(0x6b);
export const times = binary(0x6c);
export const and = binary(0x71);
export const or = binary(0x72);
export const xor = binary(0x73);
export const shiftLeft = binary(0x74);
export const shiftRightSigned = binary(0x75);
export const shiftRight = binary(0x76);
export const rotateRight = binary(0x78);
export const signExtend8 = unary(0xc0);
export const signExtend16 = unary(0xc1);
export const not = (a: Wasm): Wasm => xor(a, int(-1));
/** Both are worked out; `a` where `condition` is not 0. */
export const choose = (condition: Wasm, a: Wasm, b: Wasm): Wasm => [a, b, condition, 0x1b];

const LOCALS: readonly Wasm[] = Array.from({ length: 0x40 }, (_, local) => [0x20, local]);
export const getLocal = (local: number): Wasm => LOCALS[local] ?? [0x20, unsigned(local)];
export const setLocal = (local: number, value: Wasm): Wasm => [value, 0x21, unsigned(local)];
export const UNREACHABLE: Wasm = [0x00];
const END_CODE = 0x0b;
export const END: Wasm = [END_CODE];
export const ELSE: Wasm = [0x05];
const NO_RESULT = 0x40;
export const BLOCK: Wasm = [0x02, NO_RESULT];
export const LOOP: Wasm = [0x03, NO_RESULT];
export const when = (condition: Wasm): Wasm => [condition, 0x04, NO_RESULT];
/** Goes to the end of the block, or the beginning of the loop, so many further out. */
export const go = (depth: number): Wasm => [0x0c, unsigned(depth)];
export const goIf = (condition: Wasm, depth: number): Wasm => [condition, 0x0d, unsigned(depth)];
/** The same by a number: the first of `depths` for 0; the last for every number from there on. */
export const goBy = (number: Wasm, depths: readonly number[]): Wasm => [
  number,
  [0x0e, unsigned(depths.length - 1)],
  depths.map(unsigned),
];
/** Calls the function of that number in the table, which takes an i32 and gives one. */
export const callInTable = (index: Wasm, value: Wasm): Wasm => [value, index, 0x11, RUN_TYPE, 0];

export type Width = 1 | 2 | 4;
const LOADS: Readonly<Record<Width, number>> = { 1: 0x2d, 2: 0x2f, 4: 0x28 };
const STORES: Readonly<Record<Width, number>> = { 1: 0x3a, 2: 0x3b, 4: 0x36 };
/** Alignment is a hint, and every address is checked before. */
const ALIGNMENT = 0;
export const load = (width: Width, address: Wasm, offset: number): Wasm => [
  address,
  LOADS[width],
  ALIGNMENT,
  unsigned(offset),
];
export const store = (width: Width, address: Wasm, offset: number, value: Wasm): Wasm => [
  address,
  value,
  STORES[width],
  ALIGNMENT,
  unsigned(offset),
];

const I32 = 0x7f;
const FUNCTION = 0x60;
/** Function types by their number: a run, what runs them, and what a run calls at a peripheral. */
const RUN_TYPE = 0;
const EXECUTE_TYPE = 1;
const LOAD_TYPE = 2;
const STORE_TYPE = 3;
/** Functions that a run may call come before the runs. */
const [LOAD_FUNCTION, STORE_FUNCTION] = [0, 1];
const IMPORTED_FUNCTIONS = 2;
/** Calls the function for loads with an address and the cycles so far, or the one for stores with the value between them. */
export const callLoad = (address: Wasm, cycles: Wasm): Wasm => [
  address,
  cycles,
  0x10,
  LOAD_FUNCTION,
];
export const callStore = (address: Wasm, value: Wasm, cycles: Wasm): Wasm => [
  address,
  value,
  cycles,
  0x10,
  STORE_FUNCTION,
];
const SECTION = { type: 1, import: 2, function: 3, export: 7, code: 10 } as const;
/** A run of some instructions. */
const BYTES_AT_FIRST = 4096;
const HEADER = [0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0];

/** Bytes put one after the other. */
export class Bytes {
  private bytes = new Uint8Array(BYTES_AT_FIRST);
  private length = 0;

  put(part: Wasm): void {
    for (const item of part) {
      if (typeof item !== 'number') {
        this.put(item);
        continue;
      }
      if (this.length === this.bytes.length) this.grow(this.length + 1);
      this.bytes[this.length] = item;
      this.length += 1;
    }
  }

  putAll(bytes: Uint8Array): void {
    const end = this.length + bytes.length;
    if (end > this.bytes.length) this.grow(end);
    this.bytes.set(bytes, this.length);
    this.length = end;
  }

  /** A copy; what is put next begins anew. */
  take(): Uint8Array {
    const taken = this.bytes.slice(0, this.length);
    this.length = 0;
    return taken;
  }

  private grow(least: number): void {
    const wider = new Uint8Array(Math.max(least, 2 * this.bytes.length));
    wider.set(this.bytes);
    this.bytes = wider;
  }
}

/** The bytes of an expression. */
export function flat(part: Wasm): Uint8Array {
  const bytes = new Bytes();
  bytes.put(part);
  return bytes.take();
}

type Part = readonly number[] | Uint8Array;
function joined(parts: readonly Part[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

const vector = (items: readonly Part[]): Uint8Array => joined([unsigned(items.length), ...items]);
const name = (text: string): Uint8Array =>
  vector([...text].map((letter) => [letter.charCodeAt(0)]));
const section = (id: number, content: Part): Uint8Array =>
  joined([[id], unsigned(content.length), content]);
const body = (locals: number, code: Part): Uint8Array => {
  const declared = joined([vector([[...unsigned(locals), I32]]), code, [END_CODE]]);
  return joined([unsigned(declared.length), declared]);
};

const TYPES = section(
  SECTION.type,
  vector([
    [FUNCTION, 1, I32, 1, I32],
    [FUNCTION, 1, I32, 0],
    [FUNCTION, 2, I32, I32, 1, I32],
    [FUNCTION, 3, I32, I32, I32, 1, I32],
  ]),
);
const MEMORY_IMPORT = joined([name('chip'), name('memory'), [0x02, 0, 1]]);
const LOAD_IMPORT = joined([name('chip'), name('load'), [0x00, LOAD_TYPE]]);
const STORE_IMPORT = joined([name('chip'), name('store'), [0x00, STORE_TYPE]]);
const TABLE_IMPORT = joined([name('chip'), name('runs'), [0x01, 0x70, 0, 0]]);
const exported = (as: string, index: number): Uint8Array =>
  joined([name(as), [0x00], unsigned(index)]);

/**
 * A module that exports these functions, each by its number among them and with so many locals. They are put into the
 * table from outside: an engine keeps a copy of a table for each instance that imports it.
 */
export function moduleOfRuns(codes: readonly Part[], locals: number): Uint8Array {
  return joined([
    HEADER,
    TYPES,
    section(SECTION.import, vector([MEMORY_IMPORT, LOAD_IMPORT, STORE_IMPORT])),
    section(SECTION.function, vector(codes.map(() => [RUN_TYPE]))),
    section(
      SECTION.export,
      vector(codes.map((_, i) => exported(String(i), IMPORTED_FUNCTIONS + i))),
    ),
    section(SECTION.code, vector(codes.map((code) => body(locals, code)))),
  ]);
}

/** A module that exports one function, `execute`, which takes an i32 and calls runs in the table. */
export function moduleOfExecute(code: Part, locals: number): Uint8Array {
  return joined([
    HEADER,
    TYPES,
    section(SECTION.import, vector([MEMORY_IMPORT, TABLE_IMPORT])),
    section(SECTION.function, vector([[EXECUTE_TYPE]])),
    section(SECTION.export, vector([exported('execute', 0)])),
    section(SECTION.code, vector([body(locals, code)])),
  ]);
}
