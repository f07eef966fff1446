/**
 * The processor's instructions as JavaScript. Encodings, results and flags: ARMv6-M Architecture
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
import { branch, branchIf, branchToRegister, branchWithLink } from './branches';
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
      return branchIf(opcode, pc, around);
    case 14:
      return opcode >>> 11 === 0x1c ? branch(opcode, pc) : null;
    default:
      return branchWithLink(opcode, second, pc);
  }
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
  const value = (code: Code): string =>
    kind === 0 ? `(${code.get(d)}+${code.get(m)})` : code.get(m);
  if (d === PC) {
    const emit: Emit = (code) => code.line(code.exit(`${value(code)}&~1`, 2));
    return { cycles: 2, next: null, leaves: true, emit };
  }
  return { emit: (code) => code.set(d, d === SP ? `${value(code)}&~3` : `${value(code)}|0`) };
}

function miscellaneous(opcode: number): Made | null {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  const from = (value: (x: string) => string): Made => ({
    emit: (code) => code.set(d, value(code.get(m))),
  });
  const kind = (opcode >>> 6) & 3;
  switch ((opcode >>> 8) & 15) {
    case 0: {
      const by = 4 * (opcode & 0x7f) * ((opcode & 0x80) === 0 ? 1 : -1);
      return { emit: (code) => code.set(SP, `(${code.get(SP)}+${by})|0`) };
    }
    case 2:
      if (kind < 2) return from((x) => (kind === 0 ? `${x}<<16>>16` : `${x}<<24>>24`));
      return from((x) => `${x}&${kind === 2 ? 0xffff : 0xff}`);
    case 4:
    case 5:
      return push(opcode);
    case 10:
      if (kind === 0) return from((x) => `${x}<<24|${x}<<8&0xff0000|${x}>>>8&0xff00|${x}>>>24`);
      if (kind === 1) return from((x) => `${x}<<8&0xff00ff00|${x}>>>8&0xff00ff`);
      return kind === 3 ? from((x) => `${x}<<24>>16|${x}>>>8&0xff`) : null;
    case 12:
    case 13:
      return pop(opcode);
    default:
      return opcode === 0xbf00 ? { emit: () => {} } : null;
  }
}
