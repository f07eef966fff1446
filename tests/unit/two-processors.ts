/** The emulated processor in its two ways, beside each other: interpreting, and translated. */
import { RP2040 } from 'rp2040js';
import { expect } from 'vitest';
import {
  FLASH_START as FLASH,
  RAM_START as RAM,
  RAM_BYTES,
} from '../../firmware/bench/chip/address-map';
import { memoryOf, mendInstructions } from '../../firmware/bench/chip/mended-core';
import {
  COUNT_SHIFT,
  CYCLES_MASK,
  type Memory,
  type Run,
} from '../../firmware/bench/chip/translation/code';
import { Translation } from '../../firmware/bench/chip/translation/translation';

/** Room for the farthest branch of two bytes to either side, and for what is loaded behind that. */
const IMAGE_BYTES = 0x2000;
export const START = FLASH + 0x1000;
/** Far more often than a run must be wanted to be translated. */
export const WANTED = 300;
/** Not translated: a run ends before it. */
export const BREAKPOINT = 0xbe00;

export interface State {
  readonly registers: readonly number[];
  readonly flags: readonly boolean[];
}

export interface Ended extends State {
  readonly count: number;
  readonly cycles: number;
}

/** Something to read, and to execute, everywhere. */
const filler = (bytes: number, step: number): Uint8Array =>
  Uint8Array.from({ length: bytes }, (_, i) => (i * step) & 0xff);
const IMAGE = filler(IMAGE_BYTES, 197);
const RAM_AT_START = filler(RAM_BYTES, 89);

/** The emulated processor with this program at `START`; one for all tests: it has 16 MB of flash. */
export const chip = new RP2040();
chip.flash.set(IMAGE);
const interpreterMemory = memoryOf(chip, chip.flash);
mendInstructions(chip, interpreterMemory);
chip.logger = { debug() {}, info() {}, warn() {}, error() {} };

/** What the translation works on: the same flash, and RAM of its own. */
const ram = RAM_AT_START.slice();
const memory = {
  ...interpreterMemory,
  flags: { N: false, Z: false, C: false, V: false },
  registers: new Int32Array(16),
  ram8: ram,
  ram16: new Uint16Array(ram.buffer),
  ram32: new Int32Array(ram.buffer),
} satisfies Memory;

/** Flash with this program at `START`, until the next one. */
export function flashed(program: readonly number[]): Uint8Array {
  const image = IMAGE.slice();
  program.forEach((opcode, i) => {
    image[START - FLASH + 2 * i] = opcode & 0xff;
    image[START - FLASH + 2 * i + 1] = opcode >> 8;
  });
  chip.flash.set(image);
  return image;
}

const set = (on: Memory, { registers, flags }: State): void => {
  on.registers.set([...registers, START]);
  [on.flags.N = false, on.flags.Z = false, on.flags.C = false, on.flags.V = false] = flags;
};
const ended = ({ registers, flags }: Memory, count: number, cycles: number): Ended => ({
  registers: [...registers],
  flags: [flags.N, flags.Z, flags.C, flags.V],
  count,
  cycles,
});

/** The translation at `START`; null when the first instruction is not translated. */
export function translation(program: readonly number[]) {
  const made = new Translation(flashed(program));
  let run = null;
  for (let i = 0; i < WANTED && run === null; i += 1) run = made.at(START);
  if (run === null) return null;
  const execute = run;
  return (before: State): Ended => executed(execute, before);
}

/** Executes a translated run once. */
export function executed(run: Run, before: State): Ended {
  set(memory, before);
  const done = run(memory);
  return ended(memory, done >>> COUNT_SHIFT, done & CYCLES_MASK);
}

/** Executes `count` instructions in the emulator's own way. */
export function interpreted(before: State, count: number): Ended {
  set(interpreterMemory, before);
  let cycles = 0;
  for (let i = 0; i < count; i += 1) cycles += chip.core.executeInstruction();
  return ended(interpreterMemory, count, cycles);
}

/** Both have done the same to RAM; it is as at the start again. */
export function expectSameRam(): void {
  expect(Buffer.compare(ram, chip.sram)).toBe(0);
  ram.set(RAM_AT_START);
  chip.sram.set(RAM_AT_START);
}

export const WORDS = {
  odd: [0, 1, 2, 31, 32, 33, 255, 256, -1, 0x7fffffff, -0x80000000],
  inRam: RAM + 0x8000,
  inFlash: FLASH + 0x1400,
};

chip.sram.set(RAM_AT_START);
