/** Loads and stores, one or several at a time (ARMv6-M manual A5.2.4 to A5.2.6). */

import { leaveExceptionsAlone } from './branches';
import { type Code, LR, SP } from './code';
import { low, type Made, type Surroundings } from './instruction';

export function loadLiteral(opcode: number, pc: number, { word }: Surroundings): Made | null {
  const value = word(((pc + 4) & ~3) + 4 * (opcode & 0xff));
  if (value === null) return null;
  return { cycles: 2, emit: (code) => code.set(low(opcode, 8), String(value)) };
}

function load(d: number, bytes: 1 | 2 | 4, address: (code: Code) => string, signed = false): Made {
  return {
    cycles: 2,
    leaves: true,
    emit(code) {
      const unused = 32 - 8 * bytes;
      code.load(bytes, address(code));
      code.set(d, signed ? `v<<${unused}>>${unused}` : 'v');
    },
  };
}

function store(d: number, bytes: 1 | 2 | 4, address: (code: Code) => string): Made {
  return { cycles: 2, leaves: true, emit: (code) => code.store(bytes, address(code), code.get(d)) };
}

export function moveByRegister(opcode: number): Made {
  const [d, n, m] = [low(opcode, 0), low(opcode, 3), low(opcode, 6)];
  const address = (code: Code): string => `(${code.get(n)}+${code.get(m)})|0`;
  switch ((opcode >>> 9) & 7) {
    case 0:
      return store(d, 4, address);
    case 1:
      return store(d, 2, address);
    case 2:
      return store(d, 1, address);
    case 3:
      return load(d, 1, address, true);
    case 4:
      return load(d, 4, address);
    case 5:
      return load(d, 2, address);
    case 6:
      return load(d, 1, address);
    default:
      return load(d, 2, address, true);
  }
}

export function moveByImmediate(opcode: number): Made {
  const onStack = opcode >>> 12 === 9;
  const bytes = opcode >>> 12 === 7 ? 1 : opcode >>> 12 === 8 ? 2 : 4;
  const [d, n] = onStack ? [low(opcode, 8), SP] : [low(opcode, 0), low(opcode, 3)];
  const offset = onStack ? 4 * (opcode & 0xff) : bytes * ((opcode >>> 6) & 31);
  const address = (code: Code): string => `(${code.get(n)}+${offset})|0`;
  return (opcode & 0x800) === 0 ? store(d, bytes, address) : load(d, bytes, address);
}

export function addressOf(opcode: number, pc: number): Made {
  const [d, offset] = [low(opcode, 8), 4 * (opcode & 0xff)];
  const fromStack = (opcode & 0x800) !== 0;
  return {
    emit: (code) =>
      code.set(d, fromStack ? `(${code.get(SP)}+${offset})|0` : String(((pc + 4) & ~3) + offset)),
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
      code.words(stored.length, `(${code.get(SP)}-${4 * stored.length})|0`);
      stored.forEach((n, index) => {
        code.line(`ram32[i+${index}]=${code.get(n)};`);
      });
      code.set(SP, 'a');
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
        code.line(`a=ram32[i+${loaded.length}];`);
        leaveExceptionsAlone(code);
      }
      loaded.forEach((n, index) => {
        code.set(n, `ram32[i+${index}]`);
      });
      code.set(SP, `(${code.get(SP)}+${4 * words})|0`);
      if (returns) code.line(code.exit('a&~1', cycles));
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
        if (loads) code.set(register, `ram32[i+${index}]`);
        else code.line(`ram32[i+${index}]=${code.get(register)};`);
      });
      if (!inList) code.set(n, `(a+${4 * moved.length})|0`);
    },
  };
}
