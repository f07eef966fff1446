/**
 * Translated runs do what the emulated processor does instruction by instruction, and both what the
 * ARMv6-M Architecture Reference Manual says.
 */
import fc from 'fast-check';
import { RP2040 } from 'rp2040js';
import { describe, expect, it } from 'vitest';
import {
  FLASH_START as FLASH,
  RAM_START as RAM,
  RAM_BYTES,
} from '../../firmware/bench/chip/address-map';
import { memoryOf, mendInstructions } from '../../firmware/bench/chip/mended-core';
import { COUNT_SHIFT, CYCLES_MASK, type Memory } from '../../firmware/bench/chip/translation/code';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { Random } from '../../firmware/bench/random';
import { holds, SEEDS } from '../properties';

/** Room for the farthest branch of two bytes to either side, and for what is loaded behind that. */
const IMAGE_BYTES = 0x2000;
const START = FLASH + 0x1000;
/** Far more often than a run must be wanted to be translated. */
const WANTED = 300;
/** Not translated: a run ends before it. */
const BREAKPOINT = 0xbe00;
const OPCODES = 0x10000;
/** Every so manieth opcode is tried alone with each seed, others from run to run. */
const STRIDE = 29;

interface State {
  readonly registers: readonly number[];
  readonly flags: readonly boolean[];
}

interface Ended extends State {
  readonly count: number;
  readonly cycles: number;
}

/** Something to read, and to execute, everywhere. */
const filler = (bytes: number, step: number): Uint8Array =>
  Uint8Array.from({ length: bytes }, (_, i) => (i * step) & 0xff);
const IMAGE = filler(IMAGE_BYTES, 197);
const RAM_AT_START = filler(RAM_BYTES, 89);

/** The emulated processor with this program at `START`; one for all tests: it has 16 MB of flash. */
const chip = new RP2040();
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
function flashed(program: readonly number[]): Uint8Array {
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
function translation(program: readonly number[]) {
  const made = new Translation(flashed(program));
  let run = null;
  for (let i = 0; i < WANTED && run === null; i += 1) run = made.at(START);
  if (run === null) return null;
  const execute = run;
  return (before: State): Ended => {
    set(memory, before);
    const done = execute(memory);
    return ended(memory, done >>> COUNT_SHIFT, done & CYCLES_MASK);
  };
}

/** Executes `count` instructions in the emulator's own way. */
function interpreted(before: State, count: number): Ended {
  set(interpreterMemory, before);
  let cycles = 0;
  for (let i = 0; i < count; i += 1) cycles += chip.core.executeInstruction();
  return ended(interpreterMemory, count, cycles);
}

/** Both have done the same to RAM; it is as at the start again. */
function expectSameRam(): void {
  expect(Buffer.compare(ram, chip.sram)).toBe(0);
  ram.set(RAM_AT_START);
  chip.sram.set(RAM_AT_START);
}

const WORDS = {
  odd: [0, 1, 2, 31, 32, 33, 255, 256, -1, 0x7fffffff, -0x80000000],
  inRam: RAM + 0x8000,
  inFlash: FLASH + 0x1400,
};
const word = fc.oneof(
  fc.integer({ min: -2, max: 300 }),
  fc.integer({ min: -0x80000000, max: 0x7fffffff }),
  fc.constantFrom(...WORDS.odd),
  fc.nat(0x2000).map((n) => WORDS.inRam + 4 * n),
  fc.nat(0x200).map((n) => WORDS.inFlash + 4 * n),
);
const state = fc.record({
  registers: fc
    .tuple(fc.array(word, { minLength: 13, maxLength: 13 }), word)
    .map(([lows, link]) => [...lows, RAM + 0x10000, link]),
  flags: fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
});
const opcode = fc.oneof(fc.nat(0xffff), fc.integer({ min: 0x4000, max: 0x47ff }));

chip.sram.set(RAM_AT_START);

/** States of the processor that make much of the edges. */
function anyStates(random: Random): () => State {
  const odd = (): number => WORDS.odd[random.bits() % WORDS.odd.length] ?? 0;
  const inRam = (): number => WORDS.inRam + 4 * (random.bits() % 0x2000);
  const kinds = [odd, odd, () => random.bits() | 0, inRam];
  const anyWord = (): number => kinds[random.bits() % kinds.length]?.() ?? 0;
  return () => ({
    registers: [...Array.from({ length: 13 }, anyWord), RAM + 0x10000, anyWord()],
    flags: Array.from({ length: 4 }, () => random.bits() % 2 === 0),
  });
}

const isSame = (one: Ended, other: Ended): boolean =>
  one.cycles === other.cycles &&
  one.registers.every((value, i) => value === other.registers[i]) &&
  one.flags.every((value, i) => value === other.flags[i]);

describe('translated instructions', () => {
  it.each(SEEDS)('do each by itself what interpreted ones do (seed %d)', (seed) => {
    const anyState = anyStates(new Random(seed));
    let executed = 0;
    for (let code = seed % STRIDE; code < OPCODES; code += STRIDE) {
      const run = translation([code, BREAKPOINT]);
      if (run === null) continue;
      for (let i = 0; i < 4; i += 1) {
        const before = anyState();
        const after = run(before);
        executed += after.count;
        const expected = interpreted(before, after.count);
        // Asked first, because the words for a difference cost more than the instruction.
        if (!isSame(after, expected)) {
          expect({ code, before, ...after }).toEqual({ code, before, ...expected });
        }
      }
      expectSameRam();
    }
    expect(executed).toBeGreaterThan(OPCODES / STRIDE);
  });

  it('do in programs what interpreted ones do', () => {
    let executed = 0;
    holds(
      fc.property(fc.array(opcode, { minLength: 1, maxLength: 12 }), state, (program, before) => {
        const run = translation(program);
        if (run === null) return;
        const after = run(before);
        executed += after.count;
        expect(after).toEqual(interpreted(before, after.count));
        expectSameRam();
      }),
      { numRuns: 2000 },
    );
    expect(executed).toBeGreaterThan(1000);
  });

  it('go round a loop as often as it says, with all that it changes', () => {
    // adds r1, r1, r0; strb r0, [r2, r0]; subs r0, #1; bne back to the start
    const run = translation([0x1809, 0x5410, 0x3801, 0xd1fb]);
    const before: State = {
      registers: [20, 0, RAM + 0x100, ...new Array(10).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = run?.(before);
    expect(after?.count).toBeGreaterThan(20);
    expect(after).toEqual(interpreted(before, after?.count ?? 0));
    expectSameRam();
  });

  it('leave alone what is loaded from beyond the image, which may change', () => {
    // ldr r0 from 512 bytes further on, in an image that ends before.
    const image = flashed([0x4880, BREAKPOINT]).slice(0, START - FLASH + 8);
    const short = new Translation(image);
    for (let i = 0; i < WANTED; i += 1) expect(short.at(START)).toBe(null);
  });
});

interface Flags {
  readonly value: number;
  readonly C: boolean;
  readonly V: boolean;
}

/** Shift_C and AddWithCarry of the manual (A2.2.1), a bit at a time and with whole numbers. */
const MANUAL = {
  shifted(x: number, by: number, C: boolean, once: (x: number) => [number, boolean]): Flags {
    let [value, carry] = [x >>> 0, C];
    for (let i = 0; i < by; i += 1) [value, carry] = once(value);
    return { value: value | 0, C: carry, V: false };
  },
  lsl: (x: number): [number, boolean] => [(x * 2) % 2 ** 32, x >= 2 ** 31],
  lsr: (x: number): [number, boolean] => [Math.floor(x / 2), x % 2 === 1],
  asr: (x: number): [number, boolean] => [
    Math.floor(x / 2) + (x >= 2 ** 31 ? 2 ** 31 : 0),
    x % 2 === 1,
  ],
  ror: (x: number): [number, boolean] => [
    Math.floor(x / 2) + (x % 2 === 1 ? 2 ** 31 : 0),
    x % 2 === 1,
  ],
  sum(x: number, y: number, C: boolean): Flags {
    const unsigned = (x >>> 0) + (y >>> 0) + (C ? 1 : 0);
    const signed = (x | 0) + (y | 0) + (C ? 1 : 0);
    const value = unsigned | 0;
    return { value, C: unsigned !== value >>> 0, V: signed !== value };
  },
} as const;

describe('shifts by a register and sums with carry, cold and translated', () => {
  const { shifted, lsl, lsr, asr, ror, sum } = MANUAL;
  const shift =
    (once: (x: number) => [number, boolean]) =>
    (x: number, y: number, C: boolean): Flags =>
      shifted(x, y & 255, C, once);

  it.each([
    ['lsls', 0x4088, shift(lsl)],
    ['lsrs', 0x40c8, shift(lsr)],
    ['asrs', 0x4108, shift(asr)],
    ['rors', 0x41c8, shift(ror)],
    ['adcs', 0x4148, sum],
    ['sbcs', 0x4188, (x: number, y: number, C: boolean) => sum(x, ~y, C)],
  ] as const)('%s r0, r1 does what the manual says', (_name, code, manual) => {
    const run = translation([code, BREAKPOINT]);
    const none = new Array(11).fill(0);
    for (const x of [...WORDS.odd, 0x18000001, -4, 0x40000000]) {
      for (const y of [...WORDS.odd, 4, 40, -2, 0x120]) {
        for (const carry of [false, true]) {
          const { value, C, V } = manual(x, y, carry);
          const before = {
            registers: [x, y, ...none, RAM, 0],
            flags: [false, false, carry, false],
          };
          const expected = [value, value < 0, value === 0, C, V];
          const told = ({ registers, flags }: Ended) => [registers[0], ...flags];
          const where = `${x}, ${y}, carry ${carry}`;
          expect(told(interpreted(before, 1)), `cold: ${where}`).toEqual(expected);
          const after = run?.(before);
          expect(after && told(after), `translated: ${where}`).toEqual(expected);
        }
      }
    }
  });

  it('also where a branch leads to them', () => {
    // b.n over two halfwords to adcs r0, r1: 7fffffffh and a carry make the sign, and overflow.
    const program = [0xe001, 0xbe00, 0xbe00, 0x4148, BREAKPOINT];
    const registers = [0x7fffffff, 0, ...new Array(11).fill(0), RAM, 0];
    const before = { registers, flags: [false, false, true, false] };
    const after = translation(program)?.(before);
    expect(after).toEqual(interpreted(before, 2));
    expect(after?.flags).toEqual([true, false, false, true]);
  });
});

describe('a translation of an image that begins as another one', () => {
  const wantedOnce = (of: Translation) => of.at(START);
  const hot = (image: Uint8Array): Translation => {
    const made = new Translation(image);
    for (let i = 0; i < WANTED; i += 1) made.at(START);
    return made;
  };
  const behind = (image: Uint8Array, at: number): Uint8Array => {
    const other = image.slice();
    other.fill(0xaa, START - FLASH + at);
    return other;
  };

  it('knows from the first time on what both have', () => {
    // adds r0, r0, #1; ldr r1 from eight bytes behind START
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    const run = wantedOnce(hot(image));
    expect(run).not.toBe(null);
    expect(new Translation(behind(image, 12), hot(image)).at(START)).not.toBe(null);
    expect(wantedOnce(new Translation(behind(image, 12)))).toBe(null);
  });

  it.each([
    { what: 'an instruction', at: 2 },
    { what: 'a word that is loaded', at: 8 },
  ])('has its own where $what differs', ({ at }) => {
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    const old = hot(image);
    const other = behind(image, at);
    const made = new Translation(other, old);
    let run = made.at(START);
    for (let i = 0; i < WANTED && run === null; i += 1) run = made.at(START);
    expect(run).not.toBe(null);
    expect(run).not.toBe(old.at(START));
    chip.flash.set(other);
    const before = {
      registers: [...new Array(13).fill(0), RAM, 0],
      flags: [false, false, false, false],
    };
    set(memory, before);
    const done = run?.(memory) ?? 0;
    const count = done >>> COUNT_SHIFT;
    expect(ended(memory, count, done & CYCLES_MASK)).toEqual(interpreted(before, count));
  });
});

describe('a call through the link register', () => {
  it('goes where that pointed, and leaves there where to go back to', () => {
    const target = START + 0x40;
    const registers = [...new Array(13).fill(0), RAM, target + 1];
    const before = { registers, flags: [false, false, false, false] };
    const run = translation([0x47f0]);
    for (const { registers: now } of [interpreted(before, 1), run?.(before)].flatMap(
      (x) => x ?? [],
    )) {
      expect(now.slice(14)).toEqual([START + 3, target]);
    }
  });
});
