/** The code of one run of instructions as it grows, and what of it has still to be stored. */
import { FLASH_BYTES, FLASH_START } from '../../../../shared/board/map';
import { RAM_BYTES, RAM_START } from '../address-map';
import { AT, FLAG_NAMES, WORD_BYTES } from './memory';
import {
  and,
  atMost,
  Bytes,
  ELSE,
  END,
  getLocal,
  goIf,
  int,
  isZero,
  LOOP,
  leave,
  less,
  load,
  minus,
  more,
  or,
  plus,
  setLocal,
  store,
  UNREACHABLE,
  type Wasm,
  type Width,
  when,
} from './wasm';

/** A run gives its cycles, and above `COUNT_SHIFT` its instructions. */
export const COUNT_SHIFT = 16;
export const CYCLES_MASK = (1 << COUNT_SHIFT) - 1;

export const SP = 13;
export const LR = 14;
export const PC = 15;

/** Condition flags, as a set. */
export const FLAG = { N: 1, Z: 2, C: 4, V: 8 } as const;
export const ALL_FLAGS = FLAG.N | FLAG.Z | FLAG.C | FLAG.V;
type FlagName = (typeof FLAG_NAMES)[number];

/** Values that last for an instruction, and `n`: what the turns of a loop took. */
const SCRATCH = ['a', 'i', 't', 'v', 'x', 's', 'n'] as const;
type Scratch = (typeof SCRATCH)[number];
const FLAGS_FROM = PC;
const SCRATCH_FROM = FLAGS_FROM + FLAG_NAMES.length;
/** Locals of every run: registers below the program counter, flags, scratch. */
export const RUN_LOCALS = SCRATCH_FROM + SCRATCH.length;

const flagLocal = (name: FlagName): number => FLAGS_FROM + FLAG_NAMES.indexOf(name);
const scratchLocal = (name: Scratch): number => SCRATCH_FROM + SCRATCH.indexOf(name);
const ZERO = int(0);
const kept = (register: number): number => AT.registers + WORD_BYTES * register;
const keptFlag = (name: FlagName): number => AT.flags + WORD_BYTES * FLAG_NAMES.indexOf(name);

/** Longest stay in a loop, cycles: how much later an interrupt can come for it. */
const LOOP_CYCLES = 250;

/** A place where the run is left, and what of its work has to be stored there: after a loop there may be more. */
interface Exit {
  readonly to: Wasm;
  readonly cycles: number;
  readonly count: number;
  readonly dirty: readonly number[];
  readonly flagsDirty: number;
}

/** Where a run is written: they come one after the other. */
const WRITTEN = new Bytes();

export class Code {
  private readonly parts: (Wasm | Exit)[] = [];
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

  /** A register's value; the program counter reads as four bytes further. */
  get(register: number): Wasm {
    if (register === PC) return int(this.pc + 4);
    this.used.add(register);
    return getLocal(register);
  }

  set(register: number, value: Wasm): void {
    this.used.add(register);
    this.dirty.add(register);
    this.parts.push(setLocal(register, value));
  }

  /** A value of this instruction's, and sets it. */
  scratch(name: Scratch): Wasm {
    return getLocal(scratchLocal(name));
  }
  keep(name: Scratch, value: Wasm): void {
    this.parts.push(setLocal(scratchLocal(name), value));
  }

  /** 0 or 1. */
  flag(name: FlagName): Wasm {
    this.flagsUsed |= FLAG[name];
    return getLocal(flagLocal(name));
  }

  /** Sets a flag, to 0 or 1, when somebody may read it. */
  setFlag(name: FlagName, value: Wasm, needed: number): void {
    if ((needed & FLAG[name]) === 0) return;
    this.flagsUsed |= FLAG[name];
    this.flagsDirty |= FLAG[name];
    this.parts.push(setLocal(flagLocal(name), value));
  }

  /** PRIMASK, and turns interrupts off by it: what turns them on again leaves the run. */
  get mask(): Wasm {
    return load(4, ZERO, AT.mask);
  }
  interruptsOff(): void {
    this.parts.push(store(4, ZERO, AT.mask, int(1)));
  }

  /** Leaves for `to` after this instruction, which takes `cycles`. */
  exit(to: Wasm, cycles: number): void {
    this.leave(to, this.cycles + cycles, this.count + 1);
  }

  /** The same where `condition` holds. */
  exitIf(condition: Wasm, to: Wasm, cycles: number): void {
    this.parts.push(when(condition));
    this.exit(to, cycles);
    this.parts.push(END);
  }

  /** Begins the run again; leaves for its start now and then. */
  again(): void {
    this.loops = true;
    const n = this.scratch('n');
    this.keep('n', plus(n, int((this.count << COUNT_SHIFT) | this.cycles)));
    this.parts.push(goIf(less(and(n, int(CYCLES_MASK)), int(LOOP_CYCLES)), 0));
    this.leave(int(this.start), 0, 0);
  }

  /** Leaves before this instruction. */
  stop(): void {
    this.leave(int(this.pc), this.cycles, this.count);
  }

  /** The same where `condition` holds. */
  stopIf(condition: Wasm): void {
    this.parts.push(when(condition));
    this.stop();
    this.parts.push(END);
  }

  /** Loads `v` from where `a` points, in RAM or flash; leaves at any other address. */
  load(bytes: Width, address: Wasm): void {
    const [a, i] = [this.scratch('a'), this.scratch('i')];
    this.keep('a', address);
    this.keep('i', minus(a, int(RAM_START)));
    this.parts.push(when(this.isInside(bytes, RAM_BYTES)));
    this.keep('v', load(bytes, i, AT.ram));
    this.parts.push(ELSE);
    this.keep('i', minus(a, int(FLASH_START)));
    this.parts.push(when(this.isInside(bytes, FLASH_BYTES)));
    this.keep('v', load(bytes, i, AT.flash));
    this.parts.push(ELSE);
    this.stop();
    this.parts.push(END, END);
  }

  /** Stores to where `a` points, in RAM; leaves at any other address. */
  store(bytes: Width, address: Wasm, value: Wasm): void {
    this.keep('a', address);
    this.keep('i', minus(this.scratch('a'), int(RAM_START)));
    this.stopIf(isZero(this.isInside(bytes, RAM_BYTES)));
    this.parts.push(store(bytes, this.scratch('i'), AT.ram, value));
  }

  /** Makes `i` the place of the first of `words` words in RAM; leaves when they are not all there. */
  words(words: number, address: Wasm): void {
    this.keep('a', address);
    this.keep('i', minus(this.scratch('a'), int(RAM_START)));
    const isBeyond = more(this.scratch('i'), int(RAM_BYTES - 4 * words));
    this.stopIf(or(isBeyond, and(this.scratch('a'), int(3))));
  }

  /** The word so many after that place, and stores one there. */
  word(index: number): Wasm {
    return load(4, this.scratch('i'), AT.ram + 4 * index);
  }
  storeWord(index: number, value: Wasm): void {
    this.parts.push(store(4, this.scratch('i'), AT.ram + 4 * index, value));
  }

  /** The whole run. */
  toWasm(): Uint8Array {
    const bytes = WRITTEN;
    for (const n of this.used) bytes.put(setLocal(n, load(4, ZERO, kept(n))));
    for (const name of flagsIn(this.flagsUsed)) {
      bytes.put(setLocal(flagLocal(name), load(4, ZERO, keptFlag(name))));
    }
    if (this.loops) bytes.put(LOOP);
    for (const part of this.parts) {
      if ('to' in part) this.putLeft(part, bytes);
      else bytes.put(part);
    }
    if (this.loops) bytes.put(END);
    bytes.put(UNREACHABLE);
    return bytes.take();
  }

  /** `i` is inside so many bytes, and a whole number of these widths from their start. */
  private isInside(width: Width, bytes: number): Wasm {
    const i = this.scratch('i');
    const isThere = atMost(i, int(bytes - 1));
    return width === 1 ? isThere : and(isThere, isZero(and(i, int(width - 1))));
  }

  private leave(to: Wasm, cycles: number, count: number): void {
    this.parts.push({ to, cycles, count, dirty: [...this.dirty], flagsDirty: this.flagsDirty });
  }

  private putLeft(exit: Exit, bytes: Bytes): void {
    const dirty = this.loops ? this.dirty : exit.dirty;
    const flagsDirty = this.loops ? this.flagsDirty : exit.flagsDirty;
    const done = int((exit.count << COUNT_SHIFT) | exit.cycles);
    for (const n of dirty) bytes.put(store(4, ZERO, kept(n), getLocal(n)));
    for (const name of flagsIn(flagsDirty)) {
      bytes.put(store(4, ZERO, keptFlag(name), getLocal(flagLocal(name))));
    }
    bytes.put(store(4, ZERO, kept(PC), exit.to));
    bytes.put(leave(this.loops ? plus(this.scratch('n'), done) : done));
  }
}

const flagsIn = (set: number): readonly FlagName[] =>
  FLAG_NAMES.filter((name) => (set & FLAG[name]) !== 0);
