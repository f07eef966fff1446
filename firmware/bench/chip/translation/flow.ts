/** The ways through one run of instructions: its blocks, how they lead to each other, and how it is left. */
import { AT } from './memory';
import {
  and,
  Bytes,
  END,
  getLocal,
  go,
  goIf,
  int,
  LOOP,
  less,
  load,
  plus,
  setLocal,
  type Wasm,
  when,
} from './wasm';

/** A run gives its cycles, and above `COUNT_SHIFT` its instructions. */
export const COUNT_SHIFT = 16;
export const CYCLES_MASK = (1 << COUNT_SHIFT) - 1;

export const ZERO = int(0);
/** The parameter of a run: where it is entered. */
export const ENTRY = 0;
/** Values that last for an instruction; `n`: what the run took before this block; `to`: where it is left for. */
const SCRATCH = ['a', 'i', 't', 'v', 'x', 's', 'n', 'to'] as const;
type Scratch = (typeof SCRATCH)[number];
/** The first locals of a run; others begin behind them. */
const SCRATCH_FROM = ENTRY + 1;
export const LOCALS_FROM = SCRATCH_FROM + SCRATCH.length;

const scratchLocal = (name: Scratch): number => SCRATCH_FROM + SCRATCH.indexOf(name);

/** Where the blocks of a run are written: runs come one after the other. */
export const BLOCKS = new Bytes();

export abstract class Flow {
  protected readonly placeOf: ReadonlyMap<number, number>;
  /** Addresses of blocks that are gone to by number: those where the run is entered, then others. */
  protected readonly numbered: number[];
  /** The address of the instruction that is being written. */
  protected pc = 0;
  /** The block that is being written, and whether it is a loop by itself. */
  private block = -1;
  private loops = false;
  /** In this block. */
  private cycles = 0;
  private count = 0;

  /** `starts`: addresses of the blocks in their order; `entries`: of the ones where the run is entered, the first of all first. */
  constructor(
    protected readonly starts: readonly number[],
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

  /** The instruction is complete. */
  took(cycles: number): void {
    this.cycles += cycles;
    this.count += 1;
  }

  /** A value of this instruction's, and sets it. */
  scratch(name: Scratch): Wasm {
    return getLocal(scratchLocal(name));
  }
  keep(name: Scratch, value: Wasm): void {
    BLOCKS.put(setLocal(scratchLocal(name), value));
  }

  /** Cycles of the run before this instruction. */
  protected get soFar(): Wasm {
    return and(plus(this.scratch('n'), int(this.cycles)), int(CYCLES_MASK));
  }

  /** So many cycles more, or fewer, than the instruction takes mostly. */
  protected tookMore(cycles: Wasm): void {
    this.keep('n', plus(this.scratch('n'), cycles));
  }

  /** Leaves for `to` after this instruction, which takes `cycles`; `depth`: so many conditions deep. */
  exit(to: Wasm, cycles: number, depth = 0): void {
    this.leaveFor(to, this.cycles + cycles, this.count + 1, depth);
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
