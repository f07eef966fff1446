/** The emulated processor in its two ways, beside each other: interpreting, and translated. */
import { RP2040 } from 'rp2040js';
import { expect } from 'vitest';
import { RAM_START as RAM, RAM_BYTES } from '../../firmware/bench/chip/address-map';
import { mendInstructions } from '../../firmware/bench/chip/mended-core';
import { Executor } from '../../firmware/bench/chip/translation/executor';
import { ChipMemory } from '../../firmware/bench/chip/translation/memory';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { FLASH_START as FLASH, FLASH_BYTES } from '../../shared/board/map';

/** Room for the farthest branch of two bytes to either side, and for what is loaded behind that. */
const IMAGE_BYTES = 0x2000;
export const START = FLASH + 0x1000;
/** Far more often than a run must be wanted to be translated. */
export const WANTED = 300;
/** Not translated: a run ends before it. */
export const BREAKPOINT = 0xbe00;

interface Held {
  readonly registers: readonly number[];
  readonly flags: readonly boolean[];
}

export interface State extends Held {
  /** Where it begins; at `START` unless said. */
  readonly from?: number;
}

export interface Ended extends Held {
  readonly interruptsOff: boolean;
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
chip.logger = { debug() {}, info() {}, warn() {}, error() {} };
const interpreterMemory = new ChipMemory();
interpreterMemory.lendTo(chip);
mendInstructions(chip, interpreterMemory);

/** What the translation works on: the same flash, and RAM of its own. */
const memory = new ChipMemory();

/** Flash with this program at `START`, until the next one. */
export function flashed(program: readonly number[]): Uint8Array {
  const image = IMAGE.slice();
  program.forEach((opcode, i) => {
    image[START - FLASH + 2 * i] = opcode & 0xff;
    image[START - FLASH + 2 * i + 1] = opcode >> 8;
  });
  flash(image);
  return image;
}

/** Puts an image into the flash of both. */
export function flash(image: Uint8Array): void {
  chip.flash.set(image);
  memory.flash.set(image);
}

const set = (on: ChipMemory, { registers, flags, from = START }: State): void => {
  on.registers.set([...registers, from]);
  on.flags.set(flags.map(Number));
  on.mask[0] = 0;
};
const ended = ({ registers, flags, mask }: ChipMemory, count: number, cycles: number): Ended => ({
  registers: [...registers].map((value) => value | 0),
  flags: [...flags].map((flag) => flag !== 0),
  interruptsOff: mask[0] !== 0,
  count,
  cycles,
});

/** Whether there is a run at `START`. */
export const isMadeAtStart = ({ runAt }: Translation): boolean => runAt.has((START - FLASH) / 2);

/** Wants what is at `START` until it is translated, if it ever is. */
export function wantOften(translation: Translation): Translation {
  for (let i = 0; i < WANTED; i += 1) translation.want(START);
  translation.makeModule();
  return translation;
}

/** The instructions of this program have been executed so often each. */
export function warmed(translation: Translation, times: readonly number[]): Translation {
  times.forEach((often, i) => {
    for (let n = 0; n < often; n += 1) translation.want(START + 2 * i);
  });
  return translation;
}

/** The translation at `START`; null when the first instruction is not translated. */
export function translation(program: readonly number[]) {
  const made = wantOften(new Translation(flashed(program)));
  if (!isMadeAtStart(made)) return null;
  const executor = executing(made);
  return (before: State, cycles = 1): Ended => executed(executor, before, cycles);
}

/** How far those of one translation are from each other, in halfwords. */
const APART = 4;

/** Each of these alone, all in one translation; null for one that is not translated. */
export function translationsOf(opcodes: readonly number[]) {
  const places = opcodes.map((_, i) => START + 2 * APART * i);
  const lone = opcodes.flatMap((code) => [code, ...new Array(APART - 1).fill(BREAKPOINT)]);
  const made = new Translation(flashed(lone));
  for (const place of places) for (let i = 0; i < WANTED; i += 1) made.want(place);
  made.makeModule();
  const executor = executing(made);
  return places.map((from) =>
    made.runAt.has((from - FLASH) / 2)
      ? { from, run: (before: State) => executed(executor, before) }
      : null,
  );
}

/** What executes a translation in the memory of this test, and that memory. */
export const executing = (made: Translation): Executor => new Executor(memory, made);
export const translatedMemory: ChipMemory = memory;

/** Executes translated runs for `cycles`: once, unless more is said. */
export function executed(executor: Executor, before: State, cycles = 1): Ended {
  set(memory, before);
  executor.execute(cycles);
  return ended(memory, memory.count, memory.cycles);
}

/** Executes `count` instructions in the emulator's own way; `onNext`: the next begins after so many cycles. */
export function interpreted(
  before: State,
  count: number,
  onNext: (cycles: number) => void = () => {},
): Ended {
  set(interpreterMemory, before);
  let cycles = 0;
  for (let i = 0; i < count; i += 1) {
    onNext(cycles);
    cycles += chip.core.executeInstruction();
  }
  return ended(interpreterMemory, count, cycles);
}

/** Both have done the same to RAM; it is as at the start again. */
export function expectSameRam(): void {
  expect(Buffer.compare(memory.ram, chip.sram)).toBe(0);
  memory.ram.set(RAM_AT_START);
  chip.sram.set(RAM_AT_START);
}

export const WORDS = {
  odd: [0, 1, 2, 31, 32, 33, 255, 256, -1, 0x7fffffff, -0x80000000],
  /** The last word and the last byte of RAM, and what comes after it; and the same of flash. */
  atEdges: [RAM + RAM_BYTES, FLASH + FLASH_BYTES].flatMap((end) => [end - 4, end - 1, end]),
  inRam: RAM + 0x8000,
  inFlash: FLASH + 0x1400,
};

chip.sram.set(RAM_AT_START);
memory.ram.set(RAM_AT_START);
memory.flash.set(chip.flash.subarray(0, memory.flash.length));
