/** Sums, comparisons, logic and shifts (ARMv6-M manual A5.2.1, A5.2.2). */
import { ALL_FLAGS, type Code, FLAG } from './code';
import { low, type Made, NZ, setResultFlags } from './instruction';
import {
  and,
  atLeast,
  atMost,
  choose,
  equal,
  int,
  isZero,
  less,
  minus,
  not,
  or,
  plus,
  rotateRight,
  shiftLeft,
  shiftRight,
  shiftRightSigned,
  times,
  type Wasm,
  xor,
} from './wasm';

const NZC = NZ | FLAG.C;

/** A register by its number, or a constant. */
type Operand = number | { readonly constant: number };
const operandOf = (code: Code, operand: Operand): Wasm =>
  typeof operand === 'number' ? code.get(operand) : int(operand.constant);
/** The top bit, as a flag. */
const topBit = (value: Wasm): Wasm => shiftRight(value, int(31));
const bit = (value: Wasm, place: Wasm): Wasm => and(shiftRight(value, place), int(1));

/** `d = a + b`, with all flags; no `d`: only the flags. */
function add(d: number | null, a: number, b: Operand): Made {
  return {
    writes: ALL_FLAGS,
    emit(code, needed) {
      const [x, y, t] = [code.get(a), operandOf(code, b), code.scratch('t')];
      code.keep('t', plus(x, y));
      setResultFlags(code, needed);
      code.setFlag('C', less(t, x), needed);
      code.setFlag('V', topBit(and(xor(x, t), xor(y, t))), needed);
      if (d !== null) code.set(d, t);
    },
  };
}

/** `d = a - b`, with all flags. */
export function subtract(d: number | null, a: Operand, b: Operand): Made {
  return {
    writes: ALL_FLAGS,
    emit(code, needed) {
      const [x, y, t] = [operandOf(code, a), operandOf(code, b), code.scratch('t')];
      code.keep('t', minus(x, y));
      setResultFlags(code, needed);
      code.setFlag('C', atLeast(x, y), needed);
      code.setFlag('V', topBit(and(xor(x, y), xor(x, t))), needed);
      if (d !== null) code.set(d, t);
    },
  };
}

/** `d` becomes a value that sets N and Z only. */
function result(d: number | null, value: (code: Code) => Wasm): Made {
  return {
    writes: NZ,
    emit(code, needed) {
      code.keep('t', value(code));
      setResultFlags(code, needed);
      if (d !== null) code.set(d, code.scratch('t'));
    },
  };
}

export function addOrSubtract(opcode: number): Made {
  const [d, a, field] = [low(opcode, 0), low(opcode, 3), low(opcode, 6)];
  const b = (opcode & 0x400) === 0 ? field : { constant: field };
  return (opcode & 0x200) === 0 ? add(d, a, b) : subtract(d, a, b);
}

export function withImmediate(opcode: number): Made {
  const d = low(opcode, 8);
  const constant = opcode & 0xff;
  switch ((opcode >>> 11) & 3) {
    case 0:
      return result(d, () => int(constant));
    case 1:
      return subtract(null, d, { constant });
    case 2:
      return add(d, d, { constant });
    default:
      return subtract(d, d, { constant });
  }
}

/** Shifts by a constant of 1 to 32: result and carry. */
const SHIFTS_BY_CONSTANT: readonly ((x: Wasm, by: number) => readonly [Wasm, Wasm])[] = [
  (x, by) => [shiftLeft(x, int(by)), bit(x, int(32 - by))],
  (x, by) => [by === 32 ? int(0) : shiftRight(x, int(by)), bit(x, int(by - 1))],
  (x, by) => [shiftRightSigned(x, int(Math.min(31, by))), bit(x, int(by - 1))],
];

export function shiftImmediate(opcode: number): Made {
  const [d, m, field] = [low(opcode, 0), low(opcode, 3), (opcode >>> 6) & 31];
  const kind = opcode >>> 11;
  if (kind === 0 && field === 0) return result(d, (code) => code.get(m));
  const shift = SHIFTS_BY_CONSTANT[kind];
  if (shift === undefined) throw new RangeError(`no shift: ${opcode.toString(16)}`);
  return {
    writes: NZC,
    emit(code, needed) {
      const [shifted, carry] = shift(code.get(m), field === 0 ? 32 : field);
      code.setFlag('C', carry, needed);
      code.keep('t', shifted);
      setResultFlags(code, needed);
      code.set(d, code.scratch('t'));
    },
  };
}

/** Of a count below 32 the first, of a longer one the other. */
const within32 = (s: Wasm, one: Wasm, other: Wasm): Wasm => choose(less(s, int(32)), one, other);

/** Shifts of `x` by a count `s` of 1 to 255: result, and carry, which may ask for the result `t`. */
const SHIFTS = {
  left: (x: Wasm, s: Wasm): readonly [Wasm, Wasm] => [
    within32(s, shiftLeft(x, s), int(0)),
    and(atMost(s, int(32)), bit(x, minus(int(32), s))),
  ],
  right: (x: Wasm, s: Wasm): readonly [Wasm, Wasm] => [
    within32(s, shiftRight(x, s), int(0)),
    and(atMost(s, int(32)), bit(x, minus(s, int(1)))),
  ],
  arithmetic: (x: Wasm, s: Wasm): readonly [Wasm, Wasm] => [
    shiftRightSigned(x, within32(s, s, int(31))),
    bit(x, within32(s, minus(s, int(1)), int(31))),
  ],
  rotate: (x: Wasm, s: Wasm, t: Wasm): readonly [Wasm, Wasm] => [rotateRight(x, s), topBit(t)],
} as const;

function shiftByRegister(opcode: number, kind: keyof typeof SHIFTS): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  return {
    reads: FLAG.C,
    writes: NZC,
    emit(code, needed) {
      const [x, s, t] = [code.scratch('x'), code.scratch('s'), code.scratch('t')];
      const [shifted, carry] = SHIFTS[kind](x, s, t);
      code.keep('x', code.get(d));
      code.keep('s', and(code.get(m), int(255)));
      code.keep('t', choose(isZero(s), x, shifted));
      code.setFlag('C', choose(isZero(s), code.flag('C'), carry), needed);
      setResultFlags(code, needed);
      code.set(d, t);
    },
  };
}

/** Add and subtract with carry; a subtraction adds the complement (A6.7.60). */
function withCarry(opcode: number, second: (value: Wasm) => Wasm): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  return {
    reads: FLAG.C,
    writes: ALL_FLAGS,
    emit(code, needed) {
      const [x, s, t] = [code.scratch('x'), code.scratch('s'), code.scratch('t')];
      const carry = code.flag('C');
      code.keep('x', code.get(d));
      code.keep('s', second(code.get(m)));
      code.keep('t', plus(plus(x, s), carry));
      setResultFlags(code, needed);
      // Below what it began with it has gone round; with a carry it may have come back to just that.
      code.setFlag('C', or(less(t, x), and(carry, equal(t, x))), needed);
      code.setFlag('V', topBit(and(xor(x, t), xor(s, t))), needed);
      code.set(d, t);
    },
  };
}

export function dataProcessing(opcode: number): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  const both = (operator: (a: Wasm, b: Wasm) => Wasm, into: number | null = d): Made =>
    result(into, (code) => operator(code.get(d), code.get(m)));
  switch ((opcode >>> 6) & 15) {
    case 0:
      return both(and);
    case 1:
      return both(xor);
    case 2:
      return shiftByRegister(opcode, 'left');
    case 3:
      return shiftByRegister(opcode, 'right');
    case 4:
      return shiftByRegister(opcode, 'arithmetic');
    case 5:
      return withCarry(opcode, (value) => value);
    case 6:
      return withCarry(opcode, not);
    case 7:
      return shiftByRegister(opcode, 'rotate');
    case 8:
      return both(and, null);
    case 9:
      return subtract(d, { constant: 0 }, m);
    case 10:
      return subtract(null, d, m);
    case 11:
      return add(null, d, m);
    case 12:
      return both(or);
    case 13:
      return both(times);
    case 14:
      return both((a, b) => and(a, not(b)));
    default:
      return result(d, (code) => not(code.get(m)));
  }
}
