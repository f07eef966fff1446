/** Translated runs do what the emulated processor does instruction by instruction. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RAM_START as RAM } from '../../firmware/bench/chip/address-map';
import { LR, PC } from '../../firmware/bench/chip/translation/code';
import { Executor } from '../../firmware/bench/chip/translation/executor';
import { ChipMemory } from '../../firmware/bench/chip/translation/memory';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { Random } from '../../firmware/bench/random';
import { FLASH_START as FLASH } from '../../shared/board/map';
import { holds, SEEDS } from '../properties';
import {
  BREAKPOINT,
  type Ended,
  executed,
  executing,
  expectSameRam,
  flash,
  flashed,
  interpreted,
  runAtStart,
  START,
  type State,
  translation,
  WANTED,
  WORDS,
  wantOften,
} from './two-processors';

const OPCODES = 0x10000;
/** Every so manieth opcode is tried alone with each seed, others from run to run. */
const STRIDE = 29;

const word = fc.oneof(
  fc.integer({ min: -2, max: 300 }),
  fc.integer({ min: -0x80000000, max: 0x7fffffff }),
  fc.constantFrom(...WORDS.odd, ...WORDS.atEdges),
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
  one.interruptsOff === other.interruptsOff &&
  one.registers.every((value, i) => value === other.registers[i]) &&
  one.flags.every((value, i) => value === other.flags[i]);

describe('translated instructions', () => {
  it.each(SEEDS)('do each by itself what interpreted ones do (seed %d)', (seed) => {
    const anyState = anyStates(new Random(seed));
    let done = 0;
    for (let code = seed % STRIDE; code < OPCODES; code += STRIDE) {
      const run = translation([code, BREAKPOINT]);
      if (run === null) continue;
      for (let i = 0; i < 4; i += 1) {
        const before = anyState();
        const after = run(before);
        done += after.count;
        const expected = interpreted(before, after.count);
        // Asked first, because the words for a difference cost more than the instruction.
        if (!isSame(after, expected)) {
          expect({ code, before, ...after }).toEqual({ code, before, ...expected });
        }
      }
      expectSameRam();
    }
    expect(done).toBeGreaterThan(OPCODES / STRIDE);
  });

  it('do in programs what interpreted ones do', () => {
    let done = 0;
    holds(
      fc.property(fc.array(opcode, { minLength: 1, maxLength: 12 }), state, (program, before) => {
        const run = translation(program);
        if (run === null) return;
        const after = run(before);
        done += after.count;
        expect(after).toEqual(interpreted(before, after.count));
        expectSameRam();
      }),
      { numRuns: 2000 },
    );
    expect(done).toBeGreaterThan(1000);
  });

  it('go from one run to the next until they took as many cycles as they may', () => {
    // adds r0, #1; bx r1, which leads back: a run ends with each of them
    const program = [0x3001, 0x4708];
    const executor = executing(wantOften(new Translation(flashed(program))));
    const before: State = {
      registers: [0, START + 1, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = executed(executor, before, 100);
    expect(after.cycles).toBeGreaterThanOrEqual(100);
    expect(after.cycles).toBeLessThan(104);
    expect(after).toEqual(interpreted(before, after.count));
  });

  it('turn interrupts off as interpreted ones do, and read before and after whether they are', () => {
    // mrs r0, primask; cpsid i; mrs r1, primask
    const run = translation([0xf3ef, 0x8010, 0xb672, 0xf3ef, 0x8110, BREAKPOINT]);
    const before: State = {
      registers: [7, 7, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = run?.(before);
    expect(after).toMatchObject({ count: 3, interruptsOff: true });
    expect(after?.registers.slice(0, 2)).toEqual([0, 1]);
    expect(after).toEqual(interpreted(before, 3));
  });

  it('leave everything as it is where the first one is for the interpreter', () => {
    // ldr r0, [r1], which points at a peripheral
    const executor = executing(wantOften(new Translation(flashed([0x6808, BREAKPOINT]))));
    const before: State = {
      registers: [7, 0x40054000, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [true, false, true, false],
    };
    expect(executed(executor, before, 100)).toEqual({
      ...{ count: 0, cycles: 0, flags: before.flags, interruptsOff: false },
      registers: [...before.registers, START],
    });
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

  it('are found however many there are', () => {
    // bx lr at each halfword: as many runs
    const count = 10_000;
    const image = new Uint8Array(new Uint16Array(count + 2).fill(0x4770).buffer);
    const many = new Translation(image);
    const at = (i: number): number => FLASH + 2 * i;
    for (let i = 0; i < count; i += 1) {
      for (let times = 0; times < WANTED && many.runs[i] === 0; times += 1) many.want(at(i));
    }
    many.makeModule();
    const memory = new ChipMemory();
    const executor = new Executor(memory, many);
    for (const place of [0, 1, 4095, 4096, count - 1]) {
      memory.registers[LR] = at(count + 1);
      memory.registers[PC] = at(place);
      executor.execute(1);
      expect([memory.count, memory.registers[PC]]).toEqual([1, at(count + 1)]);
    }
  });

  it('leave alone what is loaded from beyond the image, which may change', () => {
    // ldr r0 from 512 bytes further on, in an image that ends before.
    const image = flashed([0x4880, BREAKPOINT]).slice(0, START - FLASH + 8);
    expect(runAtStart(wantOften(new Translation(image)))).toBe(0);
  });
});

describe('a translation of an image that begins as another one', () => {
  const hot = (image: Uint8Array): Translation => wantOften(new Translation(image));
  const behind = (image: Uint8Array, at: number): Uint8Array => {
    const other = image.slice();
    other.fill(0xaa, START - FLASH + at);
    return other;
  };

  it('knows from the first time on what both have', () => {
    // adds r0, r0, #1; ldr r1 from eight bytes behind START
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    expect(runAtStart(new Translation(behind(image, 12), hot(image)))).not.toBe(0);
    expect(runAtStart(new Translation(behind(image, 12)))).toBe(0);
  });

  it.each([
    { what: 'an instruction', at: 2 },
    { what: 'a word that is loaded', at: 8 },
  ])('has its own where $what differs', ({ at }) => {
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    const old = hot(image);
    const other = behind(image, at);
    const made = new Translation(other, old);
    expect(runAtStart(made)).toBe(0);
    wantOften(made);
    expect(runAtStart(made)).not.toBe(0);
    flash(other);
    const before = {
      registers: [...new Array(13).fill(0), RAM, 0],
      flags: [false, false, false, false],
    };
    const after = executed(executing(made), before);
    expect(after.count).toBeGreaterThan(0);
    expect(after).toEqual(interpreted(before, after.count));
  });
});
