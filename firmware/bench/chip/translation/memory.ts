/** What translated code works on, in one piece of memory: registers and flags of the processor, RAM, flash. */
import type { RP2040 } from 'rp2040js';
import { FLASH_BYTES, FLASH_MAP } from '../../../../shared/board/map';
import { RAM_BYTES } from '../address-map';

export const WORD_BYTES = 4;
const REGISTERS = 16;
/** The flags, each a word, in this order. */
export const FLAG_NAMES = ['N', 'Z', 'C', 'V'] as const;
/** Instructions of the image: it has as many halfwords. */
export const IMAGE_HALFWORDS = FLASH_MAP.image.bytes / 2;

const FLAGS_AT = REGISTERS * WORD_BYTES;
const MASK_AT = FLAGS_AT + FLAG_NAMES.length * WORD_BYTES;
const CYCLES_AT = MASK_AT + WORD_BYTES;
const LIMIT_AT = CYCLES_AT + 3 * WORD_BYTES;
/** RAM begins at a page of the processor that this runs on. */
const RAM_AT = 4096;
const FLASH_AT = RAM_AT + RAM_BYTES;
/** Where what is in it, bytes. */
export const AT = {
  registers: 0,
  flags: FLAGS_AT,
  /** PRIMASK: 1 while interrupts are off. */
  mask: MASK_AT,
  /** What `execute` did: cycles, before the run that is being executed, and instructions. */
  cycles: CYCLES_AT,
  count: CYCLES_AT + WORD_BYTES,
  /** Cycles after which a run shall end: then something is due. 0: it ends as soon as it has dealt with a peripheral. */
  left: CYCLES_AT + 2 * WORD_BYTES,
  /** Cycles after which `execute` shall end. */
  limit: LIMIT_AT,
  /** What was loaded from a peripheral. */
  loaded: LIMIT_AT + WORD_BYTES,
  ram: RAM_AT,
  flash: FLASH_AT,
  /** For each halfword of the image the place of its run in the table and how that is entered, 0 without one: words. */
  runs: FLASH_AT + FLASH_BYTES,
} as const;
const PAGE_BYTES = 65_536;
const BYTES = AT.runs + WORD_BYTES * IMAGE_HALFWORDS;

/** What a run counts has 16 bits, and it may end some hundred cycles late. */
export const LONGEST_RUN_CYCLES = 1 << 15;

export class ChipMemory {
  readonly shared = new WebAssembly.Memory({ initial: Math.ceil(BYTES / PAGE_BYTES) });
  readonly registers: Uint32Array;
  readonly flags: Int32Array;
  readonly mask: Int32Array;
  readonly ram: Uint8Array;
  readonly flash: Uint8Array;
  readonly runs: Uint32Array;
  private readonly done: Int32Array;
  private readonly due: Int32Array;

  constructor() {
    const { buffer } = this.shared;
    this.registers = new Uint32Array(buffer, AT.registers, REGISTERS);
    this.flags = new Int32Array(buffer, AT.flags, FLAG_NAMES.length);
    this.mask = new Int32Array(buffer, AT.mask, 1);
    this.done = new Int32Array(buffer, AT.cycles, 2);
    this.due = new Int32Array(buffer, AT.left, 3);
    this.ram = new Uint8Array(buffer, AT.ram, RAM_BYTES);
    this.flash = new Uint8Array(buffer, AT.flash, FLASH_BYTES);
    this.runs = new Uint32Array(buffer, AT.runs, IMAGE_HALFWORDS);
  }

  /** Cycles and instructions of the last `execute`; inside one, cycles before the run that is being executed. */
  get cycles(): number {
    return this.done[0] ?? 0;
  }
  get count(): number {
    return this.done[1] ?? 0;
  }

  /** Inside an `execute`: it ends after so many cycles, and at once when there are no more than `taken`. */
  endAfter(limit: number, taken: number): void {
    this.due[0] = limit > taken ? Math.min(limit - this.cycles, LONGEST_RUN_CYCLES) : 0;
    this.due[1] = limit;
  }

  set loaded(word: number) {
    this.due[2] = word;
  }

  /** From now on the emulator's processor and RAM are these. */
  lendTo(chip: RP2040): void {
    const { ram, registers, flags, mask } = this;
    const sramView = new DataView(ram.buffer, ram.byteOffset, ram.length);
    Object.assign(chip, { sram: ram, sramView });
    registers.set(chip.core.registers);
    Object.assign(chip.core, { registers });
    FLAG_NAMES.forEach((name, i) => {
      liveIn(flags, i, chip, name);
    });
    liveIn(mask, 0, chip, 'PM');
  }
}

/** A flag of the processor is from now on that word, 0 or 1. */
function liveIn(
  words: Int32Array,
  index: number,
  { core }: RP2040,
  name: (typeof FLAG_NAMES)[number] | 'PM',
): void {
  words[index] = core[name] ? 1 : 0;
  Object.defineProperty(core, name, {
    get: () => words[index] !== 0,
    set: (value: boolean) => {
      words[index] = value ? 1 : 0;
    },
  });
}
