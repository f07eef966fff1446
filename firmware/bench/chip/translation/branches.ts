/** What goes on elsewhere (ARMv6-M manual A5.2.6, A6.3). */
import { ALL_FLAGS, type Code, LR } from './code';
import type { Made, Surroundings } from './instruction';

export function branchToRegister(m: number, links: boolean, pc: number): Made {
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
export function leaveExceptionsAlone(code: Code): void {
  code.line(`if(a>>>28===15)${code.stop()}`);
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
export function branchIf(opcode: number, pc: number, { heat }: Surroundings): Made | null {
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
    emit: (code) => code.set(LR, String(pc + 5)),
  };
}
