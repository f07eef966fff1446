/**
 * The processor's instructions as WebAssembly. Encodings, results and flags: ARMv6-M Architecture
 * Reference Manual, A5.2 and A6.7; cycles as the emulator's interpreter counts them. What is not here
 * the interpreter does.
 */
import {
  addOrSubtract,
  dataProcessing,
  shiftImmediate,
  subtract,
  withImmediate,
} from './arithmetic';
import { branch, branchIf, branchToRegister, branchWithLink, evenOf } from './branches';
import { type Code, PC, SP } from './code';
import { type Emit, type Instruction, low, type Made, type Surroundings } from './instruction';
import {
  addressOf,
  loadLiteral,
  moveByImmediate,
  moveByRegister,
  multiple,
  pop,
  push,
} from './moves';
import {
  and,
  int,
  or,
  plus,
  shiftLeft,
  shiftRight,
  shiftRightSigned,
  signExtend8,
  signExtend16,
  type Wasm,
} from './wasm';

const NOP = 0xbf00;
const INTERRUPTS_OFF = 0xb672;
/** The first half of MRS, and the second for PRIMASK without its register. */
const MRS = 0xf3ef;
const MRS_PRIMASK = 0x8010;
const REGISTER_FIELD = 0xf00;

/** The instruction `opcode` at `pc`, `second` being the halfword behind it; null: not translated. */
export function decode(
  opcode: number,
  second: number,
  pc: number,
  around: Surroundings,
): Instruction | null {
  const follows = (made: Partial<Instruction> & { emit: Emit }): Instruction => ({
    cycles: 1,
    reads: 0,
    writes: 0,
    next: pc + 2,
    other: null,
    back: null,
    leaves: false,
    ...made,
  });
  const made = decodeOne(opcode, second, pc, around);
  return made === null ? null : follows(made);
}

function decodeOne(opcode: number, second: number, pc: number, around: Surroundings): Made | null {
  switch (opcode >>> 12) {
    case 0:
    case 1:
      return opcode >>> 11 === 3 ? addOrSubtract(opcode) : shiftImmediate(opcode);
    case 2:
    case 3:
      return withImmediate(opcode);
    case 4:
      if (opcode >>> 10 === 0x10) return dataProcessing(opcode);
      return opcode >>> 10 === 0x11 ? onAnyRegister(opcode, pc) : loadLiteral(opcode, pc, around);
    case 5:
      return moveByRegister(opcode);
    case 6:
    case 7:
    case 8:
    case 9:
      return moveByImmediate(opcode);
    case 10:
      return addressOf(opcode, pc);
    case 11:
      return miscellaneous(opcode);
    case 12:
      return multiple(opcode);
    case 13:
      return branchIf(opcode, pc);
    case 14:
      return opcode >>> 11 === 0x1c ? branch(opcode, pc) : null;
    default:
      return opcode === MRS ? readMask(second, pc) : branchWithLink(opcode, second, pc);
  }
}

/** MRS of PRIMASK (A6.7.42); any other special register is the interpreter's. */
function readMask(second: number, pc: number): Made | null {
  if ((second & ~REGISTER_FIELD) !== MRS_PRIMASK) return null;
  const d = (second & REGISTER_FIELD) >>> 8;
  if (d >= SP) return null;
  return { cycles: 3, next: pc + 4, emit: (code) => code.set(d, code.mask) };
}

/** ADD, CMP and MOV on all sixteen registers, and branches to a register. */
function onAnyRegister(opcode: number, pc: number): Made | null {
  const d = ((opcode >>> 4) & 8) | low(opcode, 0);
  const m = (opcode >>> 3) & 15;
  const kind = (opcode >>> 8) & 3;
  if (kind === 1) return d === PC || m === PC ? null : subtract(null, d, m);
  if (kind === 3) {
    const isDefined = m !== PC && low(opcode, 0) === 0;
    return isDefined ? branchToRegister(m, (opcode & 0x80) !== 0, pc) : null;
  }
  const value = (code: Code): Wasm => (kind === 0 ? plus(code.get(d), code.get(m)) : code.get(m));
  if (d === PC) {
    const emit: Emit = (code) => code.exit(evenOf(value(code)), 2);
    return { cycles: 2, next: null, leaves: true, emit };
  }
  return { emit: (code) => code.set(d, d === SP ? and(value(code), int(~3)) : value(code)) };
}

/** Bytes in another order (A6.7.61 to A6.7.63). */
const REVERSED: readonly (((x: Wasm) => Wasm) | null)[] = [
  (x) =>
    or(
      or(shiftLeft(x, int(24)), and(shiftLeft(x, int(8)), int(0xff0000))),
      or(and(shiftRight(x, int(8)), int(0xff00)), shiftRight(x, int(24))),
    ),
  (x) =>
    or(and(shiftLeft(x, int(8)), int(0xff00ff00)), and(shiftRight(x, int(8)), int(0x00ff00ff))),
  null,
  (x) =>
    or(shiftRightSigned(shiftLeft(x, int(24)), int(16)), and(shiftRight(x, int(8)), int(0xff))),
];
/** Halfwords and bytes, with their sign and without (A6.7.70 to A6.7.76). */
const EXTENDED: readonly ((x: Wasm) => Wasm)[] = [
  signExtend16,
  signExtend8,
  (x) => and(x, int(0xffff)),
  (x) => and(x, int(0xff)),
];

function miscellaneous(opcode: number): Made | null {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  const from = (value: ((x: Wasm) => Wasm) | null | undefined): Made | null =>
    value == null ? null : { emit: (code) => code.set(d, value(code.get(m))) };
  const kind = (opcode >>> 6) & 3;
  switch ((opcode >>> 8) & 15) {
    case 0: {
      const by = 4 * (opcode & 0x7f) * ((opcode & 0x80) === 0 ? 1 : -1);
      return { emit: (code) => code.set(SP, plus(code.get(SP), int(by))) };
    }
    case 2:
      return from(EXTENDED[kind]);
    case 4:
    case 5:
      return push(opcode);
    case 10:
      return from(REVERSED[kind]);
    case 12:
    case 13:
      return pop(opcode);
    default:
      if (opcode === INTERRUPTS_OFF) return { emit: (code) => code.interruptsOff() };
      return opcode === NOP ? { emit: () => {} } : null;
  }
}
