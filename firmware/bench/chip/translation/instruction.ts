/** What a translated instruction is, and what several kinds of them share. */
import { type Code, FLAG } from './code';
import { int, isZero, shiftRight } from './wasm';

export interface Instruction {
  readonly cycles: number;
  /** Flags it needs as they were, and flags it sets. */
  readonly reads: number;
  readonly writes: number;
  /** Address of what follows; null when the instruction always leaves the run. */
  readonly next: number | null;
  /** Address of what may follow instead; null where nothing may. */
  readonly other: number | null;
  /** Address to which a call comes back, mostly; null for all other instructions. */
  readonly back: number | null;
  /** It may leave the run before it is done, so all flags must be in place. */
  readonly leaves: boolean;
  /** Writes its code; `needed`: flags somebody may read. */
  emit(code: Code, needed: number): void;
}

export type Emit = Instruction['emit'];
/** What is known of the program around an instruction. */
export interface Surroundings {
  /** A word of the image, which never changes; null beyond it. */
  word(address: number): number | null;
}

/** What the kinds of instruction make: the rest is as of one that takes a cycle and goes on behind itself. */
export type Made = Partial<Instruction> & { emit: Emit };

export const NZ = FLAG.N | FLAG.Z;

/** Three bits of the encoding: mostly one of the low registers. */
export const low = (opcode: number, at: number): number => (opcode >>> at) & 7;

/** N and Z of the result `t`. */
export function setResultFlags(code: Code, needed: number): void {
  code.setFlag('N', shiftRight(code.scratch('t'), int(31)), needed);
  code.setFlag('Z', isZero(code.scratch('t')), needed);
}
