/**
 * The processor's instructions as JavaScript. Encodings, results and flags: ARMv6-M Architecture
 * Reference Manual, A5.2 and A6.7; cycles as the emulator's interpreter counts them. What is not here
 * the interpreter does.
 */
import { ALL_FLAGS, type Code, FLAG, LR, PC, SP } from './code';

export interface Instruction {
  readonly cycles: number;
  /** Flags it needs as they were, and flags it sets. */
  readonly reads: number;
  readonly writes: number;
  /** Address of what follows; null when the instruction always leaves the run. */
  readonly next: number | null;
  /** It may leave the run, so all flags must be in place. */
  readonly leaves: boolean;
  /** Writes its code; `needed`: flags somebody may read. */
  emit(code: Code, needed: number): void;
}

type Emit = Instruction['emit'];
/** What is known of the program around an instruction. */
export interface Surroundings {
  /** A word of flash, which never changes. */
  word(address: number): number;
  /** How often the instruction at this address has been executed so far, roughly. */
  heat(address: number): number;
}

const { N, Z, C } = FLAG;
const NZ = N | Z;
const NZC = NZ | C;

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

type Made = Partial<Instruction> & { emit: Emit };

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

const low = (opcode: number, at: number): number => (opcode >>> at) & 7;

function setResultFlags(code: Code, needed: number): void {
  code.setFlag('N', 't<0', needed);
  code.setFlag('Z', 't===0', needed);
}

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
function subtract(d: number | null, a: number | string, b: number | string): Made {
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

function addOrSubtract(opcode: number): Made {
  const [d, a, field] = [low(opcode, 0), low(opcode, 3), low(opcode, 6)];
  const b = (opcode & 0x400) === 0 ? field : String(field);
  return (opcode & 0x200) === 0 ? add(d, a, b) : subtract(d, a, b);
}

function withImmediate(opcode: number): Made {
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

function shiftImmediate(opcode: number): Made {
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
    reads: C,
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
    reads: C,
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

function dataProcessing(opcode: number): Made {
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

function branchToRegister(m: number, links: boolean, pc: number): Made {
  return {
    cycles: 2,
    next: null,
    leaves: true,
    emit(code) {
      code.line(`a=${code.get(m)};`);
      if (links) code.set(LR, String(pc + 3));
      else leaveExceptionsAlone(code);
      code.line(code.exit('a&~1', 2));
    },
  };
}

/** Addresses from F0000000h on end an exception (B1.5.8): the interpreter's work. */
function leaveExceptionsAlone(code: Code): void {
  code.line(`if(a>>>28===15)${code.stop()}`);
}

function loadLiteral(opcode: number, pc: number, { word }: Surroundings): Made {
  const address = ((pc + 4) & ~3) + 4 * (opcode & 0xff);
  return { cycles: 2, emit: (code) => code.set(low(opcode, 8), String(word(address))) };
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

function moveByRegister(opcode: number): Made {
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

function moveByImmediate(opcode: number): Made {
  const onStack = opcode >>> 12 === 9;
  const bytes = opcode >>> 12 === 7 ? 1 : opcode >>> 12 === 8 ? 2 : 4;
  const [d, n] = onStack ? [low(opcode, 8), SP] : [low(opcode, 0), low(opcode, 3)];
  const offset = onStack ? 4 * (opcode & 0xff) : bytes * ((opcode >>> 6) & 31);
  const address = (code: Code): string => `(${code.get(n)}+${offset})|0`;
  return (opcode & 0x800) === 0 ? store(d, bytes, address) : load(d, bytes, address);
}

function addressOf(opcode: number, pc: number): Made {
  const [d, offset] = [low(opcode, 8), 4 * (opcode & 0xff)];
  const fromStack = (opcode & 0x800) !== 0;
  return {
    emit: (code) =>
      code.set(d, fromStack ? `(${code.get(SP)}+${offset})|0` : String(((pc + 4) & ~3) + offset)),
  };
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

const listed = (opcode: number): number[] =>
  [0, 1, 2, 3, 4, 5, 6, 7].filter((n) => (opcode & (1 << n)) !== 0);

function push(opcode: number): Made {
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

function pop(opcode: number): Made {
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

function multiple(opcode: number): Made | null {
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

/** Conditions by their number, each followed by its opposite (A6.3). */
const CONDITIONS: readonly ((code: Code) => string)[] = [
  (code) => code.flag('Z'),
  (code) => code.flag('C'),
  (code) => code.flag('N'),
  (code) => code.flag('V'),
  (code) => `${code.flag('C')}&&!${code.flag('Z')}`,
  (code) => `${code.flag('N')}===${code.flag('V')}`,
  (code) => `${code.flag('N')}===${code.flag('V')}&&!${code.flag('Z')}`,
];

/** The run goes on along the way that was taken more often so far. */
function branchIf(opcode: number, pc: number, { heat }: Surroundings): Made | null {
  const condition = (opcode >>> 8) & 15;
  const holds = CONDITIONS[condition >>> 1];
  if (holds === undefined) return null;
  const target = pc + 4 + (((opcode & 0xff) << 24) >> 23);
  const test = (code: Code, negated: boolean): string =>
    `if(${negated ? '!' : ''}(${holds(code)}))`;
  const isNegated = (condition & 1) !== 0;
  const made = { reads: ALL_FLAGS, leaves: true };
  if (heat(target) > heat(pc + 2)) {
    return {
      ...made,
      cycles: 2,
      next: target,
      emit: (code) => code.line(`${test(code, !isNegated)}${code.exit(pc + 2, 1)}`),
    };
  }
  return {
    ...made,
    emit: (code) => code.line(`${test(code, isNegated)}${code.exit(target, 2)}`),
  };
}

function branch(opcode: number, pc: number): Made {
  return { cycles: 2, next: pc + 4 + (((opcode & 0x7ff) << 21) >> 20), emit: () => {} };
}

function branchWithLink(opcode: number, second: number, pc: number): Made | null {
  if (opcode >>> 11 !== 0x1e || (second & 0xd000) !== 0xd000) return null;
  const sign = (opcode >>> 10) & 1;
  const i1 = 1 ^ sign ^ ((second >>> 13) & 1);
  const i2 = 1 ^ sign ^ ((second >>> 11) & 1);
  const offset = (i1 << 23) | (i2 << 22) | ((opcode & 0x3ff) << 12) | ((second & 0x7ff) << 1);
  return {
    cycles: 3,
    next: pc + 4 + (sign === 0 ? offset : offset - (1 << 24)),
    emit: (code) => code.set(LR, String(pc + 5)),
  };
}
