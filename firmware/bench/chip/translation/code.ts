/** The JavaScript of one run of instructions as it grows, and what of it has still to be stored. */
import { FLASH_BYTES } from '../../../../shared/board/map';
import { FLASH_START, RAM_BYTES, RAM_START } from '../address-map';

/** What translated code works on: the processor's registers and flags, RAM and flash. */
export interface Memory {
  readonly registers: Int32Array;
  readonly flags: { N: boolean; Z: boolean; C: boolean; V: boolean };
  readonly ram8: Uint8Array;
  readonly ram16: Uint16Array;
  readonly ram32: Int32Array;
  readonly flash8: Uint8Array;
  readonly flash16: Uint16Array;
  readonly flash32: Int32Array;
}

/** Executes up to an exit. Returns its cycles, and above `COUNT_SHIFT` its instructions. */
export type Run = (memory: Memory) => number;
export const COUNT_SHIFT = 16;
export const CYCLES_MASK = (1 << COUNT_SHIFT) - 1;

export const SP = 13;
export const LR = 14;
export const PC = 15;

/** Condition flags, as a set. */
export const FLAG = { N: 1, Z: 2, C: 4, V: 8 } as const;
export const ALL_FLAGS = FLAG.N | FLAG.Z | FLAG.C | FLAG.V;
type FlagName = keyof typeof FLAG;
const FLAG_NAMES: readonly FlagName[] = ['N', 'Z', 'C', 'V'];

/** Longest stay in a loop, cycles: how much later an interrupt can come for it. */
const LOOP_CYCLES = 250;

/** A place where the run is left, and what of its work has to be stored there. */
interface Exit {
  readonly to: string | number;
  readonly cycles: number;
  readonly count: number;
  readonly dirty: readonly number[];
  readonly flagsDirty: number;
}

/** Stands for an exit until the whole run is known: after a loop there may be more to store. */
const EXIT_MARK = /@(\d+)@/g;

export class Code {
  private readonly lines: string[] = [];
  private readonly exits: Exit[] = [];
  private loops = false;
  private readonly used = new Set<number>();
  private readonly dirty = new Set<number>();
  private flagsUsed = 0;
  private flagsDirty = 0;
  private cycles = 0;
  private count = 0;
  private pc = 0;

  /** `start`: address of the first instruction. */
  constructor(readonly start: number) {}

  /** The instruction at `pc` follows. */
  at(pc: number): void {
    this.pc = pc;
  }

  /** The instruction is complete. */
  took(cycles: number): void {
    this.cycles += cycles;
    this.count += 1;
  }

  line(text: string): void {
    this.lines.push(text);
  }

  /** A register's value; the program counter reads as four bytes further. */
  get(register: number): string {
    if (register === PC) return String(this.pc + 4);
    this.used.add(register);
    return `r${register}`;
  }

  set(register: number, value: string): void {
    this.used.add(register);
    this.dirty.add(register);
    this.line(`r${register}=${value};`);
  }

  flag(name: FlagName): string {
    this.flagsUsed |= FLAG[name];
    return name;
  }

  /** Sets a flag when somebody may read it. */
  setFlag(name: FlagName, value: string, needed: number): void {
    if ((needed & FLAG[name]) === 0) return;
    this.flagsUsed |= FLAG[name];
    this.flagsDirty |= FLAG[name];
    this.line(`${name}=${value};`);
  }

  /** Leaves for `to` after this instruction, which takes `cycles`. */
  exit(to: string | number, cycles: number): string {
    return this.leave(to, this.cycles + cycles, this.count + 1);
  }

  /** Begins the run again; leaves for its start now and then. */
  again(): string {
    this.loops = true;
    const turn = (this.count << COUNT_SHIFT) | this.cycles;
    return `n+=${turn};if((n&${CYCLES_MASK})<${LOOP_CYCLES})continue;${this.leave(this.start, 0, 0)}`;
  }

  /** Leaves before this instruction. */
  stop(): string {
    return this.leave(this.pc, this.cycles, this.count);
  }

  /** Loads `v` from where `a` points, in RAM or flash; leaves at any other address. */
  load(bytes: 1 | 2 | 4, address: string): void {
    const bits = bytes * 8;
    const shift = bytes >> 1;
    const aligned = bytes === 1 ? '' : `&&(a&${bytes - 1})===0`;
    this.line(`a=${address};`);
    this.line(`i=(a-${RAM_START})>>>0;if(i<${RAM_BYTES}${aligned})v=ram${bits}[i>>>${shift}];`);
    this.line(
      `else{i=(a-${FLASH_START})>>>0;if(i<${FLASH_BYTES}${aligned})v=flash${bits}[i>>>${shift}];`,
    );
    this.line(`else${this.stop()}}`);
  }

  /** Stores to where `a` points, in RAM; leaves at any other address. */
  store(bytes: 1 | 2 | 4, address: string, value: string): void {
    const aligned = bytes === 1 ? '' : `&&(a&${bytes - 1})===0`;
    this.line(`a=${address};i=(a-${RAM_START})>>>0;`);
    this.line(`if(i<${RAM_BYTES}${aligned})ram${bytes * 8}[i>>>${bytes >> 1}]=${value};`);
    this.line(`else${this.stop()}`);
  }

  /** Makes `i` the index of the first of `words` words in RAM; leaves when they are not all there. */
  words(words: number, address: string): void {
    this.line(`a=${address};i=(a-${RAM_START})>>>0;`);
    this.line(`if(i>${RAM_BYTES - 4 * words}||(a&3)!==0)${this.stop()}i>>>=2;`);
  }

  toRun(): Run {
    const registers = [...this.used].map((n) => `r${n}=r[${n}]`);
    const flags = FLAG_NAMES.filter((name) => (this.flagsUsed & FLAG[name]) !== 0);
    const locals = [...registers, ...flags.map((name) => `${name}=f.${name}`)];
    const scratch = ['a', 'i', 't', 'v', 'x', 's', 'n'].map((name) => `${name}=0`);
    const lines = this.lines.join('\n').replace(EXIT_MARK, (_, index) => this.left(Number(index)));
    const body = this.loops ? `for(;;){${lines}}` : lines;
    const text = `const {registers:r,flags:f,ram8,ram16,ram32,flash8,flash16,flash32}=m;
let ${[...locals, ...scratch].join(',')};
${body}`;
    return new Function('m', text) as Run;
  }

  private leave(to: string | number, cycles: number, count: number): string {
    const { flagsDirty } = this;
    this.exits.push({ to, cycles, count, dirty: [...this.dirty], flagsDirty });
    return `@${this.exits.length - 1}@`;
  }

  private left(index: number): string {
    const exit = this.exits[index];
    if (exit === undefined) return '';
    const dirty = this.loops ? [...this.dirty] : exit.dirty;
    const flagsDirty = this.loops ? this.flagsDirty : exit.flagsDirty;
    const registers = dirty.map((n) => `r[${n}]=r${n};`).join('');
    const flags = FLAG_NAMES.filter((name) => (flagsDirty & FLAG[name]) !== 0);
    const stored = flags.map((name) => `f.${name}=${name};`).join('');
    const done = (exit.count << COUNT_SHIFT) | exit.cycles;
    return `{${registers}${stored}r[${PC}]=${exit.to};return ${this.loops ? `n+${done}` : done};}`;
  }
}
