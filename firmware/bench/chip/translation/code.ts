/** The code of one run of instructions as it grows: registers, flags and memory. */
import { FLASH_BYTES, FLASH_START } from '../../../../shared/board/map';
import { RAM_BYTES, RAM_START } from '../address-map';
import { BLOCKS, ENTRY, Flow, LOCALS_FROM, ZERO } from './flow';
import { AT, FLAG_NAMES, WORD_BYTES } from './memory';
import {
  and,
  BLOCK,
  Bytes,
  callLoad,
  callStore,
  ELSE,
  END,
  getLocal,
  goBy,
  int,
  isZero,
  LOOP,
  less,
  load,
  minus,
  more,
  or,
  rotateRight,
  setLocal,
  store,
  UNREACHABLE,
  type Wasm,
  type Width,
  when,
} from './wasm';

export const SP = 13;
export const LR = 14;
export const PC = 15;

/** Condition flags, as a set. */
export const FLAG = { N: 1, Z: 2, C: 4, V: 8 } as const;
export const ALL_FLAGS = FLAG.N | FLAG.Z | FLAG.C | FLAG.V;
type FlagName = (typeof FLAG_NAMES)[number];

/** Behind the locals of the flow: registers below the program counter, then flags. */
const FLAGS_FROM = LOCALS_FROM + PC;
/** Of a run, beside its parameter. */
export const RUN_LOCALS = FLAGS_FROM + FLAG_NAMES.length - 1;

const registerLocal = (register: number): number => LOCALS_FROM + register;
const flagLocal = (name: FlagName): number => FLAGS_FROM + FLAG_NAMES.indexOf(name);
const kept = (register: number): number => AT.registers + WORD_BYTES * register;
const keptFlag = (name: FlagName): number => AT.flags + WORD_BYTES * FLAG_NAMES.indexOf(name);

/** What a load or store takes mostly. */
export const ACCESS_CYCLES = 2;

/** Where the whole of a run is written. */
const WHOLE = new Bytes();

/**
 * The code of a run: one way in, or several, blocks that lead to each other, and ways out, which all go by the same place
 * behind the blocks, where registers and flags are stored: so the blocks stay short, and what is rare is not among them.
 *
 *     loads; block OUT { loop AGAIN { block 2 { block 1 { block 0 { by ENTRY to one of them } code 0 } code 1 } code 2 } } stores
 */
export class Code extends Flow {
  private readonly used = new Set<number>();
  private readonly dirty = new Set<number>();
  private flagsUsed = 0;
  private flagsDirty = 0;
  private isAtPeripheral = false;

  /** The instruction at `pc` follows, which may have been seen to deal with a peripheral. */
  at(pc: number, isAtPeripheral = false): void {
    this.pc = pc;
    this.isAtPeripheral = isAtPeripheral;
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

  /** Loads `v` from where `a` points, in RAM or flash, or in a peripheral that is known here; leaves at any other address. */
  load(bytes: Width, address: Wasm): void {
    const [a, i] = [this.scratch('a'), this.scratch('i')];
    this.keep('a', address);
    this.keep('i', minus(a, int(RAM_START)));
    BLOCKS.put(when(this.isInside(bytes, RAM_BYTES)));
    this.keep('v', load(bytes, i, AT.ram));
    BLOCKS.put(ELSE);
    this.keep('i', minus(a, int(FLASH_START)));
    BLOCKS.put(when(this.isInside(bytes, FLASH_BYTES)));
    this.keep('v', load(bytes, i, AT.flash));
    BLOCKS.put(ELSE);
    if (this.asksPeripheral(bytes)) {
      this.ask(callLoad(a, this.soFar), 2);
      this.keep('v', load(4, ZERO, AT.loaded));
    } else {
      this.stop(2);
    }
    BLOCKS.put([END, END]);
  }

  /** Stores to where `a` points, in RAM, or to a peripheral that is known here; leaves at any other address. */
  store(bytes: Width, address: Wasm, value: Wasm): void {
    const [a, i] = [this.scratch('a'), this.scratch('i')];
    this.keep('a', address);
    this.keep('i', minus(a, int(RAM_START)));
    if (!this.asksPeripheral(bytes)) {
      this.stopIf(isZero(this.isInside(bytes, RAM_BYTES)));
      BLOCKS.put(store(bytes, i, AT.ram, value));
      return;
    }
    BLOCKS.put(when(this.isInside(bytes, RAM_BYTES)));
    BLOCKS.put(store(bytes, i, AT.ram, value));
    BLOCKS.put(ELSE);
    this.ask(callStore(a, value, this.soFar), 1);
    BLOCKS.put(END);
  }

  /** Behind a load or store, its result in place: goes no further when something became due at a peripheral. */
  leaveIfDue(bytes: Width): void {
    if (!this.asksPeripheral(bytes)) return;
    BLOCKS.put(when(isZero(load(4, ZERO, AT.left))));
    this.exit(int(this.pc + 2), ACCESS_CYCLES, 1);
    BLOCKS.put(END);
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

  /** Peripherals take words; for the others there is the interpreter. */
  private asksPeripheral(bytes: Width): boolean {
    return this.isAtPeripheral && bytes === WORD_BYTES;
  }

  /** `call` gives the cycles that it took; leaves before this instruction, `depth` conditions deep, where that is 0. */
  private ask(call: Wasm, depth: number): void {
    this.keep('t', call);
    BLOCKS.put(when(isZero(this.scratch('t'))));
    this.stop(depth + 1);
    BLOCKS.put(END);
    this.tookMore(minus(this.scratch('t'), int(ACCESS_CYCLES)));
  }
}

const flagsIn = (set: number): readonly FlagName[] =>
  FLAG_NAMES.filter((name) => (set & FLAG[name]) !== 0);
