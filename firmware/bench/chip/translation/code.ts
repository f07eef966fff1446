/** The code of one run of instructions as it grows. */
import { FLASH_BYTES, FLASH_START } from '../../../../shared/board/map';
import { RAM_BYTES, RAM_START } from '../address-map';
import { AT, FLAG_NAMES, WORD_BYTES } from './memory';
import {
  and,
  BLOCK,
  Bytes,
  ELSE,
  END,
  getLocal,
  go,
  goBy,
  goIf,
  int,
  isZero,
  LOOP,
  less,
  load,
  minus,
  more,
  or,
  plus,
  rotateRight,
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

/** Values that last for an instruction; `n`: what the run took before this block; `to`: where it is left for. */
const SCRATCH = ['a', 'i', 't', 'v', 'x', 's', 'n', 'to'] as const;
type Scratch = (typeof SCRATCH)[number];
/** The parameter: where the run is entered. Then the locals: registers below the program counter, flags, scratch. */
const ENTRY = 0;
const REGISTERS_FROM = 1;
const FLAGS_FROM = REGISTERS_FROM + PC;
const SCRATCH_FROM = FLAGS_FROM + FLAG_NAMES.length;
export const RUN_LOCALS = SCRATCH_FROM + SCRATCH.length - REGISTERS_FROM;

const registerLocal = (register: number): number => REGISTERS_FROM + register;
const flagLocal = (name: FlagName): number => FLAGS_FROM + FLAG_NAMES.indexOf(name);
const scratchLocal = (name: Scratch): number => SCRATCH_FROM + SCRATCH.indexOf(name);
const ZERO = int(0);
const kept = (register: number): number => AT.registers + WORD_BYTES * register;
const keptFlag = (name: FlagName): number => AT.flags + WORD_BYTES * FLAG_NAMES.indexOf(name);

/** Where the blocks of a run are written, and then the whole: runs come one after the other. */
const BLOCKS = new Bytes();
const WHOLE = new Bytes();

/**
 * The code of a run: one way in, or several, blocks that lead to each other, and ways out, which all go by the same place
 * behind the blocks, where registers and flags are stored: so the blocks stay short, and what is rare is not among them.
 *
 *     loads; block OUT { loop AGAIN { block 2 { block 1 { block 0 { by ENTRY to one of them } code 0 } code 1 } code 2 } } stores
 */
export class Code {
  private readonly placeOf: ReadonlyMap<number, number>;
  /** Addresses of blocks that are gone to by number: those where the run is entered, then others. */
  private readonly numbered: number[];
  private readonly used = new Set<number>();
  private readonly dirty = new Set<number>();
  private flagsUsed = 0;
  private flagsDirty = 0;
  /** The block that is being written, and whether it is a loop by itself. */
  private block = -1;
  private loops = false;
  /** In this block. */
  private cycles = 0;
  private count = 0;
  private pc = 0;

  /** `starts`: addresses of the blocks in their order; `entries`: of the ones where the run is entered, the first of all first. */
  constructor(
    private readonly starts: readonly number[],
    entries: readonly number[],
  ) {
    this.placeOf = new Map(starts.map((start, place) => [start, place]));
    this.numbered = [...entries];
  }

  /** The next block follows; `loops`: it leads to its own start. */
  begin(loops: boolean): void {
    this.block += 1;
    this.loops = loops;
    this.cycles = 0;
    this.count = 0;
    if (loops) BLOCKS.put(LOOP);
  }

  /** The block is complete; `next`: what follows it, null where its last instruction has left the run. */
  end(next: number | null): void {
    if (next !== null) this.goTo(next, this.cycles, this.count, 0);
    if (this.loops) BLOCKS.put(END);
    BLOCKS.put(END);
  }

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
    return getLocal(registerLocal(register));
  }

  set(register: number, value: Wasm): void {
    this.used.add(register);
    this.dirty.add(register);
    BLOCKS.put(setLocal(registerLocal(register), value));
  }

  /** A value of this instruction's, and sets it. */
  scratch(name: Scratch): Wasm {
    return getLocal(scratchLocal(name));
  }
  keep(name: Scratch, value: Wasm): void {
    BLOCKS.put(setLocal(scratchLocal(name), value));
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
    BLOCKS.put(setLocal(flagLocal(name), value));
  }

  /** PRIMASK, and turns interrupts off by it: what turns them on again leaves the run. */
  get mask(): Wasm {
    return load(4, ZERO, AT.mask);
  }
  interruptsOff(): void {
    BLOCKS.put(store(4, ZERO, AT.mask, int(1)));
  }

  /** Leaves for `to` after this instruction, which takes `cycles`. */
  exit(to: Wasm, cycles: number): void {
    this.leaveFor(to, this.cycles + cycles, this.count + 1, 0);
  }

  /** Goes to the instruction at `target` after this one, which takes `cycles`, where `condition` holds. */
  goIf(condition: Wasm, target: number, cycles: number): void {
    BLOCKS.put(when(condition));
    this.goTo(target, this.cycles + cycles, this.count + 1, 1);
    BLOCKS.put(END);
  }

  /** Leaves before this instruction; `depth`: so many conditions deep. */
  stop(depth = 0): void {
    this.leaveFor(int(this.pc), this.cycles, this.count, depth);
  }

  /** The same where `condition` holds. */
  stopIf(condition: Wasm): void {
    BLOCKS.put(when(condition));
    this.stop(1);
    BLOCKS.put(END);
  }

  /** Loads `v` from where `a` points, in RAM or flash; leaves at any other address. */
  load(bytes: Width, address: Wasm): void {
    const [a, i] = [this.scratch('a'), this.scratch('i')];
    this.keep('a', address);
    this.keep('i', minus(a, int(RAM_START)));
    BLOCKS.put(when(this.isInside(bytes, RAM_BYTES)));
    this.keep('v', load(bytes, i, AT.ram));
    BLOCKS.put(ELSE);
    this.keep('i', minus(a, int(FLASH_START)));
    BLOCKS.put(when(isZero(this.isInside(bytes, FLASH_BYTES))));
    this.stop(2);
    BLOCKS.put(END);
    this.keep('v', load(bytes, i, AT.flash));
    BLOCKS.put(END);
  }

  /** Stores to where `a` points, in RAM; leaves at any other address. */
  store(bytes: Width, address: Wasm, value: Wasm): void {
    this.keep('a', address);
    this.keep('i', minus(this.scratch('a'), int(RAM_START)));
    this.stopIf(isZero(this.isInside(bytes, RAM_BYTES)));
    BLOCKS.put(store(bytes, this.scratch('i'), AT.ram, value));
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
    BLOCKS.put(store(4, this.scratch('i'), AT.ram + 4 * index, value));
  }

  /** The whole run. */
  toWasm(): Uint8Array {
    const blocks = BLOCKS.take();
    for (const n of this.used) WHOLE.put(setLocal(registerLocal(n), load(4, ZERO, kept(n))));
    for (const name of flagsIn(this.flagsUsed)) {
      WHOLE.put(setLocal(flagLocal(name), load(4, ZERO, keptFlag(name))));
    }
    WHOLE.put([BLOCK, LOOP, this.starts.map(() => BLOCK)]);
    if (this.numbered.length > 1) {
      WHOLE.put(
        goBy(
          getLocal(ENTRY),
          this.numbered.map((start) => this.placeOf.get(start) ?? 0),
        ),
      );
    }
    WHOLE.put(END);
    WHOLE.putAll(blocks);
    WHOLE.put([UNREACHABLE, END]);
    for (const n of this.dirty) WHOLE.put(store(4, ZERO, kept(n), getLocal(registerLocal(n))));
    for (const name of flagsIn(this.flagsDirty)) {
      WHOLE.put(store(4, ZERO, keptFlag(name), getLocal(flagLocal(name))));
    }
    WHOLE.put([store(4, ZERO, kept(PC), this.scratch('to')), this.scratch('n')]);
    return WHOLE.take();
  }

  /** `i` is inside so many bytes, and a whole number of these widths from their start: what is not is turned into more. */
  private isInside(width: Width, bytes: number): Wasm {
    const i = this.scratch('i');
    const whole = width === 1 ? i : rotateRight(i, int(width / 2));
    return less(whole, int(bytes / width));
  }

  private goTo(target: number, cycles: number, count: number, depth: number): void {
    const place = this.placeOf.get(target);
    if (place === undefined) {
      this.leaveFor(int(target), cycles, count, depth);
      return;
    }
    this.add(cycles, count);
    const inside = depth + (this.loops ? 1 : 0);
    if (place > this.block) {
      const between = place - this.block - 1;
      if (between + inside > 0) BLOCKS.put(go(between + inside));
      return;
    }
    // Backwards only until something is due, and then out of the run.
    const goesOn = less(and(this.scratch('n'), int(CYCLES_MASK)), load(4, ZERO, AT.left));
    if (place === this.block) BLOCKS.put(goIf(goesOn, depth));
    else {
      BLOCKS.put(setLocal(ENTRY, int(this.numberOf(target))));
      BLOCKS.put(goIf(goesOn, this.starts.length - 1 - this.block + inside));
    }
    this.leaveFor(int(target), 0, 0, depth);
  }

  private leaveFor(to: Wasm, cycles: number, count: number, depth: number): void {
    this.keep('to', to);
    this.add(cycles, count);
    const inside = depth + (this.loops ? 1 : 0);
    BLOCKS.put(go(this.starts.length - this.block + inside));
  }

  private add(cycles: number, count: number): void {
    if (count === 0) return;
    this.keep('n', plus(this.scratch('n'), int((count << COUNT_SHIFT) | cycles)));
  }

  private numberOf(target: number): number {
    const found = this.numbered.indexOf(target);
    return found < 0 ? this.numbered.push(target) - 1 : found;
  }
}

const flagsIn = (set: number): readonly FlagName[] =>
  FLAG_NAMES.filter((name) => (set & FLAG[name]) !== 0);
