/** Sums, comparisons, logic and shifts (ARMv6-M manual A5.2.1, A5.2.2). */
import { ALL_FLAGS, type Code, FLAG } from './code';
import { low, type Made, NZ, setResultFlags } from './instruction';

const NZC = NZ | FLAG.C;

/** `d = a + b`, with all flags; no `d`: only the flags. */
function add(d: number | null, a: number, b: number | string): Made {
  return {
    writes: ALL_FLAGS,
    emit(code, needed) {
      const [x, y] = [code.get(a), typeof b === 'number' ? code.get(b) : b];
      code.line(`t=(${x}+${y})|0;`);
      setResultFlags(code, needed);
      code.setFlag('C', `(t>>>0)<(${x}>>>0)`, needed);
      code.setFlag('V', `((${x}^t)&(${y}^t))<0`, needed);
      if (d !== null) code.set(d, 't');
    },
  };
}

/** `d = a - b`, with all flags; a string is a constant. */
export function subtract(d: number | null, a: number | string, b: number | string): Made {
  return {
    writes: ALL_FLAGS,
    emit(code, needed) {
      const x = typeof a === 'number' ? code.get(a) : a;
      const y = typeof b === 'number' ? code.get(b) : b;
      code.line(`t=(${x}-${y})|0;`);
      setResultFlags(code, needed);
      code.setFlag('C', `(${x}>>>0)>=(${y}>>>0)`, needed);
      code.setFlag('V', `((${x}^${y})&(${x}^t))<0`, needed);
      if (d !== null) code.set(d, 't');
    },
  };
}

/** `d` becomes a value that sets N and Z only. */
function result(d: number | null, value: (code: Code) => string): Made {
  return {
    writes: NZ,
    emit(code, needed) {
      code.line(`t=${value(code)};`);
      setResultFlags(code, needed);
      if (d !== null) code.set(d, 't');
    },
  };
}

export function addOrSubtract(opcode: number): Made {
  const [d, a, field] = [low(opcode, 0), low(opcode, 3), low(opcode, 6)];
  const b = (opcode & 0x400) === 0 ? field : String(field);
  return (opcode & 0x200) === 0 ? add(d, a, b) : subtract(d, a, b);
}

export function withImmediate(opcode: number): Made {
  const d = low(opcode, 8);
  const value = String(opcode & 0xff);
  switch ((opcode >>> 11) & 3) {
    case 0:
      return result(d, () => value);
    case 1:
      return subtract(null, d, value);
    case 2:
      return add(d, d, value);
    default:
      return subtract(d, d, value);
  }
}

export function shiftImmediate(opcode: number): Made {
  const [d, m, field] = [low(opcode, 0), low(opcode, 3), (opcode >>> 6) & 31];
  const kind = opcode >>> 11;
  if (kind === 0 && field === 0) return result(d, (code) => code.get(m));
  const by = field === 0 ? 32 : field;
  return {
    writes: NZC,
    emit(code, needed) {
      const x = code.get(m);
      const shifted = [
        `${x}<<${by}`,
        by === 32 ? '0' : `(${x}>>>${by})|0`,
        `${x}>>${Math.min(31, by)}`,
      ][kind];
      code.setFlag('C', `(${x}>>>${kind === 0 ? 32 - by : by - 1}&1)!==0`, needed);
      code.line(`t=${shifted};`);
      setResultFlags(code, needed);
      code.set(d, 't');
    },
  };
}

/** Shifts by a register: result and carry for a count `s` of 1 to 255. */
const SHIFTS = {
  left: ['s<32?x<<s:0', 's<=32&&(x>>>(32-s)&1)!==0'],
  right: ['s<32?(x>>>s)|0:0', 's<=32&&(x>>>(s-1)&1)!==0'],
  arithmetic: ['x>>(s<32?s:31)', '(x>>>(s<32?s-1:31)&1)!==0'],
  rotate: ['x>>>(s&31)|x<<(32-(s&31))', 't<0'],
} as const;

function shiftByRegister(opcode: number, kind: keyof typeof SHIFTS): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  return {
    reads: FLAG.C,
    writes: NZC,
    emit(code, needed) {
      const [shifted, carry] = SHIFTS[kind];
      code.line(`x=${code.get(d)};s=${code.get(m)}&255;t=s===0?x:${shifted};`);
      code.setFlag('C', `s===0?${code.flag('C')}:${carry}`, needed);
      setResultFlags(code, needed);
      code.set(d, 't');
    },
  };
}

/** Add and subtract with carry; a subtraction adds the complement (A6.7.60). */
function withCarry(opcode: number, complement: '' | '~'): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  return {
    reads: FLAG.C,
    writes: ALL_FLAGS,
    emit(code, needed) {
      const carry = code.flag('C');
      code.line(`x=${code.get(d)};s=${complement}${code.get(m)};`);
      code.line(`v=(x>>>0)+(s>>>0)+(${carry}?1:0);t=v|0;`);
      setResultFlags(code, needed);
      code.setFlag('C', 'v>4294967295', needed);
      code.setFlag('V', '((x^t)&(s^t))<0', needed);
      code.set(d, 't');
    },
  };
}

export function dataProcessing(opcode: number): Made {
  const [d, m] = [low(opcode, 0), low(opcode, 3)];
  const both = (operator: string, into: number | null = d): Made =>
    result(into, (code) => `${code.get(d)}${operator}${code.get(m)}`);
  switch ((opcode >>> 6) & 15) {
    case 0:
      return both('&');
    case 1:
      return both('^');
    case 2:
      return shiftByRegister(opcode, 'left');
    case 3:
      return shiftByRegister(opcode, 'right');
    case 4:
      return shiftByRegister(opcode, 'arithmetic');
    case 5:
      return withCarry(opcode, '');
    case 6:
      return withCarry(opcode, '~');
    case 7:
      return shiftByRegister(opcode, 'rotate');
    case 8:
      return both('&', null);
    case 9:
      return subtract(d, '0', m);
    case 10:
      return subtract(null, d, m);
    case 11:
      return add(null, d, m);
    case 12:
      return both('|');
    case 13:
      return result(d, (code) => `Math.imul(${code.get(d)},${code.get(m)})`);
    case 14:
      return both('&~');
    default:
      return result(d, (code) => `~${code.get(m)}`);
  }
}
