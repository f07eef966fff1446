/** What goes on elsewhere (ARMv6-M manual A5.2.6, A6.3). */
import { type Code, FLAG, LR } from './code';
import type { Made } from './instruction';
import { and, equal, int, isZero, shiftRight, type Wasm } from './wasm';

/** An address without the bit that says Thumb. */
export const evenOf = (address: Wasm): Wasm => and(address, int(~1));

export function branchToRegister(m: number, links: boolean, pc: number): Made {
  return {
    cycles: 2,
    next: null,
    back: links ? pc + 2 : null,
    leaves: true,
    emit(code) {
      code.keep('a', code.get(m));
      if (links) code.set(LR, int(pc + 3));
      else leaveExceptionsAlone(code);
      code.exit(evenOf(code.scratch('a')), 2);
    },
  };
}

/** Addresses `a` from F0000000h on end an exception (B1.5.8): the interpreter's work. */
export function leaveExceptionsAlone(code: Code): void {
  code.stopIf(equal(shiftRight(code.scratch('a'), int(28)), int(15)));
}

/** Conditions by their number, each followed by its opposite (A6.3), and the flags that they read. */
const CONDITIONS: readonly { readonly reads: number; holds(code: Code): Wasm }[] = [
  { reads: FLAG.Z, holds: (code) => code.flag('Z') },
  { reads: FLAG.C, holds: (code) => code.flag('C') },
  { reads: FLAG.N, holds: (code) => code.flag('N') },
  { reads: FLAG.V, holds: (code) => code.flag('V') },
  { reads: FLAG.C | FLAG.Z, holds: (code) => and(code.flag('C'), isZero(code.flag('Z'))) },
  { reads: FLAG.N | FLAG.V, holds: (code) => equal(code.flag('N'), code.flag('V')) },
  {
    reads: FLAG.N | FLAG.V | FLAG.Z,
    holds: (code) => and(equal(code.flag('N'), code.flag('V')), isZero(code.flag('Z'))),
  },
];

export function branchIf(opcode: number, pc: number): Made | null {
  const condition = (opcode >>> 8) & 15;
  const found = CONDITIONS[condition >>> 1];
  if (found === undefined) return null;
  const target = pc + 4 + (((opcode & 0xff) << 24) >> 23);
  const isNegated = (condition & 1) !== 0;
  return {
    reads: found.reads,
    other: target,
    emit(code) {
      const holds = found.holds(code);
      code.goIf(isNegated ? isZero(holds) : holds, target, 2);
    },
  };
}

export function branch(opcode: number, pc: number): Made {
  return { cycles: 2, next: pc + 4 + (((opcode & 0x7ff) << 21) >> 20), emit: () => {} };
}

export function branchWithLink(opcode: number, second: number, pc: number): Made | null {
  if (opcode >>> 11 !== 0x1e || (second & 0xd000) !== 0xd000) return null;
  const sign = (opcode >>> 10) & 1;
  const i1 = 1 ^ sign ^ ((second >>> 13) & 1);
  const i2 = 1 ^ sign ^ ((second >>> 11) & 1);
  const offset = (i1 << 23) | (i2 << 22) | ((opcode & 0x3ff) << 12) | ((second & 0x7ff) << 1);
  return {
    cycles: 3,
    next: pc + 4 + (sign === 0 ? offset : offset - (1 << 24)),
    back: pc + 4,
    emit: (code) => code.set(LR, int(pc + 5)),
  };
}
