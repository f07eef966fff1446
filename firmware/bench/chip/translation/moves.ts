/** Loads and stores, one or several at a time (ARMv6-M manual A5.2.4 to A5.2.6). */

import { evenOf, leaveExceptionsAlone } from './branches';
import { ACCESS_CYCLES, type Code, LR, SP } from './code';
import { low, type Made, type Surroundings } from './instruction';
import { int, minus, plus, signExtend8, signExtend16, type Wasm, type Width } from './wasm';

export function loadLiteral(opcode: number, pc: number, { word }: Surroundings): Made | null {
  const value = word(((pc + 4) & ~3) + 4 * (opcode & 0xff));
  if (value === null) return null;
  return { cycles: ACCESS_CYCLES, emit: (code) => code.set(low(opcode, 8), int(value)) };
}

type Address = (code: Code) => Wasm;
const asLoaded = (value: Wasm): Wasm => value;

function load(d: number, width: Width, address: Address, extended = asLoaded): Made {
  return {
    cycles: ACCESS_CYCLES,
    leaves: true,
    emit(code) {
      code.load(width, address(code));
      code.set(d, extended(code.scratch('v')));
      code.leaveIfDue(width);
    },
  };
}

function store(d: number, width: Width, address: Address): Made {
  return {
    cycles: ACCESS_CYCLES,
    leaves: true,
    emit(code) {
      code.store(width, address(code), code.get(d));
      code.leaveIfDue(width);
    },
  };
}

export function moveByRegister(opcode: number): Made {
  const [d, n, m] = [low(opcode, 0), low(opcode, 3), low(opcode, 6)];
  const address: Address = (code) => plus(code.get(n), code.get(m));
  switch ((opcode >>> 9) & 7) {
    case 0:
      return store(d, 4, address);
    case 1:
      return store(d, 2, address);
    case 2:
      return store(d, 1, address);
    case 3:
      return load(d, 1, address, signExtend8);
    case 4:
      return load(d, 4, address);
    case 5:
      return load(d, 2, address);
    case 6:
      return load(d, 1, address);
    default:
      return load(d, 2, address, signExtend16);
  }
}

export function moveByImmediate(opcode: number): Made {
  const onStack = opcode >>> 12 === 9;
  const width = opcode >>> 12 === 7 ? 1 : opcode >>> 12 === 8 ? 2 : 4;
  const [d, n] = onStack ? [low(opcode, 8), SP] : [low(opcode, 0), low(opcode, 3)];
  const offset = onStack ? 4 * (opcode & 0xff) : width * ((opcode >>> 6) & 31);
  const address: Address = (code) => plus(code.get(n), int(offset));
  return (opcode & 0x800) === 0 ? store(d, width, address) : load(d, width, address);
}

export function addressOf(opcode: number, pc: number): Made {
  const [d, offset] = [low(opcode, 8), 4 * (opcode & 0xff)];
  const fromStack = (opcode & 0x800) !== 0;
  return {
    emit: (code) =>
      code.set(d, fromStack ? plus(code.get(SP), int(offset)) : int(((pc + 4) & ~3) + offset)),
  };
}

const listed = (opcode: number): number[] =>
  [0, 1, 2, 3, 4, 5, 6, 7].filter((n) => (opcode & (1 << n)) !== 0);

export function push(opcode: number): Made {
  const stored = [...listed(opcode), ...((opcode & 0x100) === 0 ? [] : [LR])];
  return {
    cycles: 1 + listed(opcode).length,
    leaves: true,
    emit(code) {
      code.words(stored.length, minus(code.get(SP), int(4 * stored.length)));
      stored.forEach((n, index) => {
        code.storeWord(index, code.get(n));
      });
      code.set(SP, code.scratch('a'));
    },
  };
}

export function pop(opcode: number): Made {
  const loaded = listed(opcode);
  const returns = (opcode & 0x100) !== 0;
  const words = loaded.length + (returns ? 1 : 0);
  const cycles = 1 + loaded.length + (returns ? 2 : 0);
  return {
    cycles,
    leaves: true,
    ...(returns ? { next: null } : {}),
    emit(code) {
      code.words(words, code.get(SP));
      if (returns) {
        code.keep('a', code.word(loaded.length));
        leaveExceptionsAlone(code);
      }
      loaded.forEach((n, index) => {
        code.set(n, code.word(index));
      });
      code.set(SP, plus(code.get(SP), int(4 * words)));
      if (returns) code.exit(evenOf(code.scratch('a')), cycles);
    },
  };
}

export function multiple(opcode: number): Made | null {
  const n = low(opcode, 8);
  const moved = listed(opcode);
  const loads = (opcode & 0x800) !== 0;
  const inList = moved.includes(n);
  if (moved.length === 0 || (inList && !loads)) return null;
  return {
    cycles: 1 + moved.length,
    leaves: true,
    emit(code) {
      code.words(moved.length, code.get(n));
      moved.forEach((register, index) => {
        if (loads) code.set(register, code.word(index));
        else code.storeWord(index, code.get(register));
      });
      if (!inList) code.set(n, plus(code.scratch('a'), int(4 * moved.length)));
    },
  };
}
